package tape

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The rule stands at ContinueWindow in word.go. Times: a jab takes 405 ms, a cross 450, so that an act with its contact at c
// began at c less that.
func TestPointOf(t *testing.T) {
	const bell = 10_000_000
	at := func(c Corner, a Act, clock int64) Event {
		return Event{Round: 1, Clock: bell + clock, Corner: c, Act: a}
	}
	last := func(offset int64) Event { return at(RedCorner, Cross, 450_000+offset) } // began at offset
	bitten := at(BlueCorner, FeintHand, 0)
	bitten.Defence = GaveGuard
	struck := bitten
	struck.Defence = Struck
	for name, c := range map[string]struct {
		rows []Event
		want Point
	}{
		"alone":                         {[]Event{last(0)}, Initiate},
		"own act just before":           {[]Event{at(RedCorner, Jab, 0), last(ContinueWindow - 1)}, Continue},
		"own act too long ago":          {[]Event{at(RedCorner, Jab, 0), last(ContinueWindow)}, Initiate},
		"begun before own contact":      {[]Event{at(RedCorner, Jab, 0), last(-50_000)}, Continue},
		"own step":                      {[]Event{at(RedCorner, StepIn, 0), last(100_000)}, Continue},
		"own state":                     {[]Event{at(RedCorner, StateRange, 0), last(100_000)}, Initiate},
		"own step too long ago":         {[]Event{at(RedCorner, StepIn, 0), last(LightWindow)}, Initiate},
		"own shot":                      {[]Event{at(RedCorner, Shoot, 0), last(ShotWindow - 1)}, Continue},
		"own shot too long ago":         {[]Event{at(RedCorner, Shoot, 0), last(ShotWindow)}, Initiate},
		"own switch of stance":          {[]Event{at(RedCorner, StateStance, 0), last(100_000)}, Continue},
		"their attack":                  {[]Event{at(BlueCorner, Jab, 0), last(AnswerWindow - 1)}, Answer},
		"their shot":                    {[]Event{at(BlueCorner, Shoot, 0), last(1)}, Answer},
		"their attack too long ago":     {[]Event{at(BlueCorner, Jab, 0), last(AnswerWindow)}, Initiate},
		"begun just before contact":     {[]Event{at(BlueCorner, Jab, 0), last(1 - AnswerSlack)}, Answer},
		"begun before their contact":    {[]Event{at(BlueCorner, Jab, 0), last(-AnswerSlack)}, Initiate},
		"their feint, bitten on":        {[]Event{bitten, last(BiteWindow - 1)}, Answer},
		"a bite too long ago":           {[]Event{bitten, last(BiteWindow)}, Initiate},
		"a bite not over":               {[]Event{bitten, last(BiteFrom)}, Initiate},
		"a bite that was a strike":      {[]Event{struck, last(BiteFrom + 1)}, Initiate},
		"their step":                    {[]Event{at(BlueCorner, StepIn, 0), last(-1)}, Initiate},
		"their feint":                   {[]Event{at(BlueCorner, FeintHand, 0), last(100_000)}, Initiate},
		"both: own comes first":         {[]Event{at(RedCorner, Jab, 0), at(BlueCorner, Jab, 10), last(100_000)}, Continue},
		"own first, then theirs":        {[]Event{at(RedCorner, Jab, 0), at(BlueCorner, Jab, 50_000), last(ContinueWindow * InterruptedTenths / 10)}, Answer},
		"theirs first, then own":        {[]Event{at(BlueCorner, Jab, -50_000), at(RedCorner, Jab, 0), last(ContinueWindow * InterruptedTenths / 10)}, Continue},
		"own just gone, their attack":   {[]Event{at(RedCorner, Jab, 0), at(BlueCorner, Jab, 50_000), last(AnswerWindow - 1)}, Answer},
		"the referee's break":           {[]Event{at(NoCorner, Break, 0), last(100_000)}, Initiate},
		"a later row of theirs between": {[]Event{at(BlueCorner, Jab, 0), at(BlueCorner, StepBack, 300_000), last(100_000)}, Answer},
	} {
		require.Equal(t, c.want, PointOf(c.rows, len(c.rows)-1), name)
	}
	require.Equal(t, NoPoint, PointOf([]Event{at(RedCorner, StateRange, 0)}, 0))
	require.Equal(t, NoPoint, PointOf([]Event{at(NoCorner, Break, 0)}, 0))
}

// The row an act is about is the latest that the rule lets it be about.
func TestOrigin(t *testing.T) {
	act := func(c Corner, a Act, clock int64) Event { return Event{Round: 1, Clock: clock, Corner: c, Act: a} }
	rows := []Event{act(BlueCorner, Jab, 10_000_000), act(BlueCorner, Cross, 10_200_000), act(RedCorner, Cross, 10_750_000),
		act(RedCorner, Jab, 11_200_000), {Round: 1, Clock: 11_200_000, Corner: RedCorner, Act: StateRange, Value: Long},
		act(RedCorner, LeadHook, 11_900_000), act(BlueCorner, Jab, 20_000_000)}
	for i, want := range []struct {
		point Point
		row   int
	}{{Initiate, -1}, {Continue, 0}, {Answer, 1}, {Continue, 2}, {NoPoint, -1}, {Continue, 3}, {Initiate, -1}} {
		p, row := Origin(rows, i)
		require.Equal(t, want.point, p, i)
		require.Equal(t, want.row, row, i)
	}
}

func TestPointOfKeepsRoundsApart(t *testing.T) {
	rows := []Event{{Round: 1, Clock: 100_000, Corner: RedCorner, Act: Jab}, {Round: 2, Clock: 450_000, Corner: RedCorner, Act: Cross}}
	require.Equal(t, Initiate, PointOf(rows, 1))
	require.Equal(t, "initiate answer continue", Initiate.String()+" "+Answer.String()+" "+Continue.String())
}

// Stanley 2018: jab 0.405 s from first movement; Wąsik 2022: roundhouse 0.45 to 0.46 s; Piorkowski 2011: straights before
// hooks; a kick to the head after one to the body (Estevan & Falco 2013, direction).
func TestUsualTimes(t *testing.T) {
	require.EqualValues(t, 405_000, UsualTime(Jab))
	require.EqualValues(t, 460_000, UsualTime(BodyKick))
	for _, straight := range []Act{Jab, Cross} {
		for _, looping := range []Act{LeadHook, RearHook, Overhand, Uppercut} {
			require.Less(t, UsualTime(straight), UsualTime(looping))
		}
	}
	require.Less(t, UsualTime(BodyKick), UsualTime(HighKick))
	for m := range NumMoves {
		require.Equal(t, m != NoMove, m.UsualTime() > 0, m)
	}
	require.Zero(t, UsualTime(StateRange))
	e := Event{Act: Jab, Value: Body, Clock: 1e6}
	require.EqualValues(t, 570_000, e.Onset())
}
