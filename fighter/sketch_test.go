package fighter

import (
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

func sketched(answers map[string]Habit) *Profile {
	s := &Sketch{ID: "vole", Body: AverageBody(), Answers: answers}
	return s.Profile()
}

func everyAnswer(h Habit) map[string]Habit {
	out := map[string]Habit{}
	for _, q := range Questions() {
		out[q.Name] = h
	}
	return out
}

func share(p *Profile, f Figure, table []Figure) float64 {
	sum := 0.0
	for _, g := range table {
		sum += p.Figures[g].A
	}
	return p.Figures[f].A / sum
}

// Who does everything sometimes is the population at every centre, everything marked assumption; no figure is surer than the population's but
// the rates of what is done more than 0.6 times a second.
func TestSketchOfNothingIsTheWidePopulation(t *testing.T) {
	p, u := sketched(nil), Population("vole", AverageBody())
	require.True(t, reflect.DeepEqual(p, sketched(everyAnswer(Sometimes))))
	tables := map[Figure][]Figure{}
	for _, table := range choiceTables() {
		for _, f := range table {
			tables[f] = table
		}
	}
	for i := range p.Figures {
		f := Figure(i)
		d, mine, theirs := Define(f), p.Figures[f], u.Figures[f]
		require.Equal(t, d.Law == Skill || theirs.A > 0, p.Sources[f] == FromAssumption, d.Name)
		require.Zero(t, p.Seen[f])
		switch {
		case d.Law == Weight && tables[f] != nil:
			require.InDelta(t, share(u, f, tables[f]), share(p, f, tables[f]), 1e-12, d.Name)
			require.LessOrEqual(t, mine.A, theirs.A, d.Name)
		case d.Law == Rate:
			require.InDelta(t, theirs.Mean(Rate), mine.Mean(Rate), 1e-12, d.Name)
			require.True(t, mine.A <= theirs.A*(1+1e-12) || theirs.Mean(Rate) > .6, d.Name)
		case d.Law == Skill:
			require.Equal(t, Posterior{theirs.A, 1.5 * theirs.B}, mine, d.Name)
		default:
			require.Equal(t, theirs, mine, d.Name)
		}
	}
}

// Rarely and often are half and twice the population's (exact): rates as they are, shares before the table is made to add up again, odds of
// biting. In the population 22 of 117 responses to a straight are steps back (population.yaml), so that 44 of 139 and 11 of 106 come out.
func TestSketchMultiples(t *testing.T) {
	u, rare, often := Population("vole", AverageBody()), sketched(everyAnswer(Rarely)), sketched(everyAnswer(Often))
	for _, f := range []Figure{Initiate(Kicking, tape.MoveFeintHip), Initiate(Out, tape.MoveStepIn), Initiate(Long, tape.MoveJab), Initiate(Pocket, tape.MoveTieUp),
		Initiate(Kicking, tape.MoveSwitchStance), Initiate(Long, tape.MoveLowKickCalf), Initiate(Kicking, tape.MoveHighKick), Initiate(Long, tape.MoveShoot)} {
		require.InDelta(t, .5*u.Figures[f].Mean(Rate), rare.Figures[f].Mean(Rate), 1e-12, Define(f).Name)
		require.InDelta(t, 2*u.Figures[f].Mean(Rate), often.Figures[f].Mean(Rate), 1e-12, Define(f).Name)
	}
	same := Initiate(Pocket, tape.MoveCross) // answers about answering and continuing leave alone what is begun
	require.InDelta(t, u.Figures[same].Mean(Rate), often.Figures[same].Mean(Rate), 1e-12)
	for c, shift := range map[Cue]float64{Hip: math.Ln2, Hand: math.Ln2, LegCue: 0, Level: 0} {
		require.InDelta(t, u.Figures[Bite(c)].A+shift, often.Figures[Bite(c)].A, 1e-12)
		require.InDelta(t, u.Figures[Bite(c)].A-shift, rare.Figures[Bite(c)].A, 1e-12)
	}
	var straight []Figure
	for r := range NumResponses {
		straight = append(straight, Defend(Straight, r))
	}
	back := Defend(Straight, StepBack)
	require.InDelta(t, 44./139, share(sketched(map[string]Habit{"gives_ground": Often}), back, straight), 1e-12)
	require.InDelta(t, 11./106, share(sketched(map[string]Habit{"gives_ground": Rarely}), back, straight), 1e-12)
}

// Every archetype answers only questions that there are, and an answer of one's own goes before the archetype's.
func TestArchetypes(t *testing.T) {
	names, words := Archetypes()
	require.Equal(t, []string{"presser", "out_fighter", "counter_puncher", "kicker", "wrestler"}, names)
	require.Len(t, words, len(names))
	require.Len(t, Questions(), 15)
	for _, a := range archetypes {
		for name := range a.answers {
			require.Contains(t, questionNames(), name, a.name)
		}
	}
	s := &Sketch{ID: "vole", Archetype: "kicker", Body: AverageBody(), Answers: map[string]Habit{"low_kicks": Rarely}}
	require.Equal(t, Rarely, s.Answer("low_kicks"))
	require.Equal(t, Often, s.Answer("kicks_above_waist"))
	require.Equal(t, Sometimes, s.Answer("jabs"))
	require.NoError(t, s.Check())
	require.ErrorContains(t, (&Sketch{ID: "vole", Archetype: "dancer", Body: AverageBody()}).Check(), "wrestler")
	require.Error(t, (&Sketch{Body: AverageBody()}).Check())
	require.Panics(t, func() { (&Sketch{ID: "vole"}).Profile() })
}

func TestSketchRoundTrips(t *testing.T) {
	names, _ := Archetypes()
	for _, name := range append(names, "") {
		s := &Sketch{ID: "a vole: no. 2", Archetype: name, Body: Body{1.8, 1.85, .95, 77, true}, Answers: everyAnswer(Often)}
		s.Answers["jabs"], s.Answers["shoots"] = Rarely, Sometimes
		again, err := ReadSketch("sketch.yaml", WriteSketch(s))
		require.NoError(t, err)
		require.Equal(t, s, again)
		p := s.Profile()
		read, err := ReadProfile("profile.yaml", WriteProfile(p))
		require.NoError(t, err)
		require.True(t, reflect.DeepEqual(p, read), name)
	}
	bare, err := ReadSketch("sketch.yaml", []byte("format: whatbout.sketch/1\n"))
	require.NoError(t, err)
	require.Equal(t, &Sketch{Answers: map[string]Habit{}}, bare)
}

func TestSketchFileListsAllFaults(t *testing.T) {
	_, err := ReadSketch("s.yaml", []byte("format: whatbout.sketch/2\narchetype: preser\nbody: {stature: 18, span: 1.8, leg: .9, weight: 77, stance: orthodox}\nanswers:\n  jab: often\n  shoots: never\n"))
	for _, want := range []string{"s.yaml:1:", `did you mean "presser"?`, "stature", `did you mean "jabs"?`, "rarely"} {
		require.ErrorContains(t, err, want)
	}
}

func TestParseBody(t *testing.T) {
	b, err := ParseBody("--body", " southpaw, stature 1.80 , weight 77, leg 0.95, span 1.85")
	require.NoError(t, err)
	require.Equal(t, Body{1.8, 1.85, .95, 77, true}, b)
	b, err = ParseBody("--body", "stature 1.80, span 1.85, leg 0.95, weight 77")
	require.NoError(t, err)
	require.False(t, b.Southpaw)
	for text, wants := range map[string][]string{
		"": {`""`, "stature", "weight"},
		"stature 180, span 1.85, leg .95, weight tall":            {"180", "tall"},
		"stature 1.8, stature 1.9, span 1.85, leg .95, weight 77": {"stature"},
		"stature 1.8, span 1.85, leg .95, weight 77, switch":      {"switch"},
		"stature 1.8 m, span 1.85, leg .95, weight {77":           {"stature 1.8 m", "weight"},
	} {
		_, err := ParseBody("--body", text)
		for _, want := range wants {
			require.ErrorContains(t, err, want, text)
		}
	}
}

func TestParseHabit(t *testing.T) {
	for word, want := range map[string]Habit{"rarely": Rarely, " R ": Rarely, "some": Sometimes, "o": Often} {
		h, ok := ParseHabit(word)
		require.True(t, ok)
		require.Equal(t, want, h)
	}
	for _, word := range []string{"", "never", "oftener"} {
		_, ok := ParseHabit(word)
		require.False(t, ok, word)
	}
}
