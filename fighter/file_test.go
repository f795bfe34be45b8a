package fighter

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestProfileRoundTrip(t *testing.T) {
	p := Population("badger", AverageBody())
	p.Figures[Attack(StraightPunch)] = Posterior{.22, .18}
	p.Sources[Attack(StraightPunch)] = FromTape
	p.Seen[Attack(StraightPunch)] = 41.5
	p.Figures[Defend(Straight, Absorb)] = Posterior{2.5, 14}
	back, err := ReadProfile("badger.yaml", WriteProfile(p))
	require.NoError(t, err)
	require.Equal(t, p, back)
	// A gamma of 2.5 times 14 has the mean 35 and a standard deviation of 14·√2.5: over 4000 draws 4.9 standard errors are 1.7.
	sum := 0.0
	for k := range uint64(4000) {
		sum += back.Draw(2, k, false)[Defend(Straight, Absorb)]
	}
	require.InDelta(t, 35, sum/4000, 1.72)
	require.InDelta(t, 35, back.Centre()[Defend(Straight, Absorb)], 1e-12)
}

// A profile says from which tape it was made, whatever bouts are called, and says nothing where nothing is known.
func TestProfileSaysWhatItWasMadeFrom(t *testing.T) {
	plain := Population("badger", AverageBody())
	require.NotContains(t, string(WriteProfile(plain)), "made_from")
	digest := strings.Repeat("0a", 32)
	for _, made := range []MadeFrom{
		{Bouts: map[string]string{"badger-otter": digest, "yes: #no": digest, "12": digest}},
		{All: true},
		{Bouts: map[string]string{"x": digest}, HalfLife: 365.25, AsOf: "2026-03-14"},
		{Bouts: map[string]string{"x": digest}, Coder: "missed=5,feints=20,extra=2"},
	} {
		p := Population("badger", AverageBody())
		p.MadeFrom = made
		back, err := ReadProfile("badger.yaml", WriteProfile(p))
		require.NoError(t, err)
		require.Equal(t, p, back)
	}
	text := strings.Replace(string(WriteProfile(plain)), "body:", "made_from: {half_life: -3, as_of: March, every: true, bouts: {x: 12}}\nbody:", 1)
	_, err := ReadProfile("badger.yaml", []byte(text))
	for _, want := range []string{"badger.yaml:4:24: half_life", "badger.yaml:4:35: ", `"every"`, `badger.yaml:4:66: "12" is no SHA-256; expected 64 hexadecimal digits`} {
		require.ErrorContains(t, err, want)
	}
}

func TestProfileNamesItsJointFile(t *testing.T) {
	for _, name := range []string{"joint.yaml", "a b/#joint.yaml", "d/joint.yaml"} {
		p := Population("badger", AverageBody())
		p.JointFile = name
		back, err := ReadProfile("badger.yaml", WriteProfile(p))
		require.NoError(t, err)
		require.Equal(t, p, back)
	}
	for _, name := range []string{"../joint.yaml", "/etc/joint.yaml", ".", `c:\joint.yaml`, `a\..\b`} {
		p := Population("badger", AverageBody())
		p.JointFile = name
		_, err := ReadProfile("badger.yaml", WriteProfile(p))
		require.ErrorContains(t, err, "badger.yaml:4:8: joint is")
	}
}

func TestProfileFaultsAreAllListed(t *testing.T) {
	_, err := ReadProfile("p.yaml", []byte(`format: whatbout.profile/1
id: badger
body: {stature: 17.2, span: 1.8, leg: 0.9, weight: 70, stance: southpaws}
figures:
  initiate.long.jabb: {count: 1, seconds: 2, source: tape}
  attack.straight: {mean: .nan, sd: 0.2, source: tape}
`))
	for _, want := range []string{"p.yaml:3:", "southpaw", "p.yaml:5:", "initiate.long.jab", "p.yaml:6:"} {
		require.ErrorContains(t, err, want)
	}
}

// Draws: the same key gives the same draw, figures added elsewhere move none, and the mean of many is the posterior's. A gamma with 3
// counts has a standard deviation of mean/sqrt(3); over 4000 draws 4.9 standard errors are 4.9/sqrt(3·4000) = 4.5 % of it.
func TestDraws(t *testing.T) {
	p := Population("badger", AverageBody())
	require.Equal(t, p.Draw(1, 5, true), p.Draw(1, 5, true))
	require.NotEqual(t, p.Draw(1, 5, true), p.Draw(1, 6, true))
	f, _ := Named("initiate.long.jab")
	sum := 0.0
	for k := range uint64(4000) {
		sum += p.Draw(1, k, true)[f]
	}
	require.InEpsilon(t, p.Figures[f].Mean(Rate), sum/4000, .045)
	for k := range uint64(20) {
		d := p.Draw(1, k, false)
		for i := range d {
			if Define(Figure(i)).Doubt == Assumption {
				require.Equal(t, p.Centre()[i], d[i], "tape doubt leaves assumptions at their centre")
			}
		}
	}
}

func FuzzProfile(f *testing.F) {
	f.Add(string(WriteProfile(Population("badger", AverageBody()))))
	f.Add("format: whatbout.profile/1\nid: x\nbody: {stature: 1e999}\n")
	f.Fuzz(func(t *testing.T, s string) { _, _ = ReadProfile("f.yaml", []byte(s)) })
}
