package fighter

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

// What is written is read as it was, to the six digits that are kept: figures, spreads and marks.
func TestPopulationIsWrittenAndRead(t *testing.T) {
	f := Shipped().Clone()
	f.Prior.Skill = .21
	f.Marks["prior.skill_sd"] = Mark{OnTape, "9 fighters, 41 rounds: with a comma, a \"quote\" and {braces}"}
	for k := range NumFamilies {
		f.Figures[Attack(k)].B, f.Figures[Defence(k)].B = .21, .21
	}
	jab := Initiate(Long, tape.MoveJab)
	f.Figures[jab] = Posterior{7.5, 7.5 / .2}
	f.Marks["initiate.long.jab"] = Mark{OnTape, "9 fighters, 41 rounds"}
	for m := range tape.NumMoves {
		f.Figures[Answer(1, m)].A *= 2
	}
	f.Figures[Bite(Hip)] = Posterior{1.25, .33}
	f.Figures[Initiate(Out, tape.MoveShoot)] = Posterior{} // what is not done is left out
	data := WritePopulation(f, "made by a test")
	require.True(t, strings.HasPrefix(string(data), "# made by a test\n"))
	got, err := ReadPopulation("dir/mine.yaml", data)
	require.NoError(t, err)
	sum := sha256.Sum256(data)
	require.Equal(t, PopulationID{"mine.yaml", hex.EncodeToString(sum[:])}, got.ID)
	require.Equal(t, f.Body, got.Body)
	require.Equal(t, f.Prior, got.Prior)
	for i := range f.Figures {
		name := Define(Figure(i)).Name
		// Counts, rates and weights are each rounded by at most 5 of the seventh digit; a weight is scaled by a sum of such again.
		require.InEpsilon(t, 1+f.Figures[i].A, 1+got.Figures[i].A, 2e-5, name)
		require.InEpsilon(t, 1+f.Figures[i].B, 1+got.Figures[i].B, 2e-5, name)
		law := Define(Figure(i)).Law
		if law == Skill || f.Figures[i].A > 0 {
			mark := f.Marks[name]
			if name == "attack.straight" {
				mark = f.Marks["prior.skill_sd"]
			}
			if law != Skill || strings.HasPrefix(name, "sense") || strings.HasPrefix(name, "bite") {
				require.Equal(t, mark, got.Marks[name], name)
			}
		}
	}
	require.Equal(t, f.Marks["prior.skill_sd"], got.Marks["attack.straight"])
	require.Equal(t, Shipped().Marks["body.span"], got.Marks["body.span"])
	require.Equal(t, Shipped().Marks["reaction.choice"], got.Marks["reaction.choice"])
}

// A profile says against which population it stands; what that population never does is not filled up again with what the embedded one does.
func TestProfileNamesItsPopulation(t *testing.T) {
	f := Shipped().Clone()
	f.Figures[Initiate(Long, tape.MoveSpin)] = Posterior{}
	f.Figures[Answer(1, tape.MoveTieUp)] = Posterior{}
	mine, err := ReadPopulation("mine.yaml", WritePopulation(f))
	require.NoError(t, err)
	p := mine.Profile("badger", AverageBody())
	require.Equal(t, mine.ID, p.Population)
	back, err := ReadProfile("badger.yaml", WriteProfile(p))
	require.NoError(t, err)
	require.Equal(t, mine.ID, back.Population)
	require.Zero(t, back.Figures[Initiate(Long, tape.MoveSpin)].A)
	require.Zero(t, back.Figures[Answer(1, tape.MoveTieUp)].A)

	sparse := []byte("format: whatbout.profile/1\nid: badger\nbody: {stature: 1.8, span: 1.8, leg: .9, weight: 70, stance: orthodox}\n")
	filled, err := mine.ReadProfile("b.yaml", sparse)
	require.NoError(t, err)
	require.Equal(t, PopulationID{}, filled.Population, "a profile that says nothing stands on the embedded population")
	require.Equal(t, mine.Figures, filled.Figures)

	// The embedded file under another name is still the embedded one, and not written down.
	same, err := ReadPopulation("copy.yaml", []byte(PopulationYAML()))
	require.NoError(t, err)
	require.Equal(t, PopulationID{}, same.Profile("badger", AverageBody()).Population)
	require.NotContains(t, string(WriteProfile(same.Profile("badger", AverageBody()))), "population:")

	for bad, want := range map[string]string{
		"population: {name: x.yaml, sha256: abc}":        "64 hexadecimal digits",
		"population: {name: x.yaml}":                     `"sha256" is missing`,
		"population: {name: x.yaml, sha: 1, sha256: ab}": `"sha"`,
	} {
		_, err := ReadProfile("b.yaml", append([]byte(bad+"\n"), sparse...))
		require.ErrorContains(t, err, want)
	}
}
