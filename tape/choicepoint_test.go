package tape

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The rule stands at ContinueSlack in word.go. Times: a jab takes 405 ms and 350 back to guard, a cross 450 and 420, so that an act with
// its contact at c began at c less the first, and may be continued half of the second after c.
func TestPointOf(t *testing.T) {
	const bell = 10_000_000
	at := func(c Corner, a Act, clock int64) Event {
		return Event{Round: 1, Clock: bell + clock, Corner: c, Act: a}
	}
	met := func(e Event, d Defence) Event { e.Defence = d; return e }
	how := func(e Event, h How) Event { e.How = h; return e }
	last := func(offset int64) Event { return at(RedCorner, Cross, 450_000+offset) } // began at offset
	jab, theirs := at(RedCorner, Jab, 0), at(BlueCorner, Jab, 0)
	bitten := met(at(BlueCorner, FeintHand, 0), GaveGuard)
	const jabEnds = 175_000 + ContinueSlack
	for name, c := range map[string]struct {
		rows []Event
		want Point
	}{
		"alone":                         {[]Event{last(0)}, Initiate},
		"own act just before":           {[]Event{jab, last(jabEnds - 1)}, Continue},
		"own act too long ago":          {[]Event{jab, last(jabEnds)}, Initiate},
		"an own lunge":                  {[]Event{how(jab, Lunging), last(175_000*3/2 + ContinueSlack - 1)}, Continue},
		"a lunge begins sooner":         {[]Event{jab, how(last(jabEnds+longWay-1), Lunging)}, Continue},
		"a step begins sooner":          {[]Event{jab, at(RedCorner, StepBack, 300_000+heavyLegs+jabEnds-1)}, Continue},
		"begun before own contact":      {[]Event{jab, last(-50_000)}, Continue},
		"own step":                      {[]Event{at(RedCorner, StepIn, 0), last(100_000)}, Continue},
		"own state":                     {[]Event{at(RedCorner, StateRange, 0), last(100_000)}, Initiate},
		"own step too long ago":         {[]Event{at(RedCorner, StepIn, 0), last(60_000 + ContinueSlack)}, Initiate},
		"own shot":                      {[]Event{at(RedCorner, Shoot, 0), last(450_000 + ContinueSlack - 1)}, Continue},
		"own shot too long ago":         {[]Event{at(RedCorner, Shoot, 0), last(450_000 + ContinueSlack)}, Initiate},
		"own switch of stance":          {[]Event{at(RedCorner, StateStance, 0), last(100_000)}, Continue},
		"their attack":                  {[]Event{theirs, last(TakenWindow - 1)}, Answer},
		"their attack, defended":        {[]Event{met(theirs, Slip), last(AnswerWindow - 1)}, Answer},
		"their shot":                    {[]Event{at(BlueCorner, Shoot, 0), last(1)}, Answer},
		"their shot, sprawled on":       {[]Event{met(at(BlueCorner, Shoot, 0), Sprawl), last(AnswerWindow + SprawlMore - 1)}, Answer},
		"their attack too long ago":     {[]Event{theirs, last(TakenWindow)}, Initiate},
		"begun before a defence's end":  {[]Event{met(theirs, Parry), last(1 - AnswerSlack)}, Answer},
		"begun before a defence":        {[]Event{met(theirs, Parry), last(-AnswerSlack)}, Initiate},
		"begun before their contact":    {[]Event{theirs, last(0)}, Initiate},
		"into their attack":             {[]Event{met(theirs, StrikeFirst), last(1 - MeetFrom)}, Answer},
		"into it, and there first":      {[]Event{at(RedCorner, Jab, -10_000), met(theirs, StrikeFirst)}, Answer},
		"too early to be into it":       {[]Event{at(RedCorner, Cross, -50_000), met(at(BlueCorner, Jab, 101_000), StrikeFirst)}, Initiate},
		"met by another strike":         {[]Event{met(theirs, StrikeFirst), last(MeetUntil)}, Initiate},
		"their feint, bitten on":        {[]Event{bitten, last(BiteWindow - 1)}, Answer},
		"a bite too long ago":           {[]Event{bitten, last(BiteWindow)}, Initiate},
		"a bite not over":               {[]Event{bitten, last(BiteFrom)}, Initiate},
		"a flinch is over soon":         {[]Event{met(bitten, Flinch), last(FlinchWindow)}, Initiate},
		"a sprawl at nothing lasts":     {[]Event{met(at(BlueCorner, FeintLevel, 0), GaveGround), last(BiteWindow + SprawlMore - 1)}, Answer},
		"a bite that was a strike":      {[]Event{met(bitten, Struck), last(BiteFrom + 1)}, Initiate},
		"their step":                    {[]Event{at(BlueCorner, StepIn, 0), last(-1)}, Initiate},
		"their feint":                   {[]Event{at(BlueCorner, FeintHand, 0), last(100_000)}, Initiate},
		"busy when theirs came":         {[]Event{jab, at(BlueCorner, Jab, 174_000), last(300_000)}, Continue},
		"defended, so not busy":         {[]Event{jab, met(at(BlueCorner, Jab, 174_000), Slip), last(300_000)}, Answer},
		"busy, and too late":            {[]Event{jab, at(BlueCorner, Jab, 174_000), last(jabEnds)}, Initiate},
		"nearer to an answer":           {[]Event{jab, at(BlueCorner, Jab, 200_000), last(250_000)}, Answer},   // 70 ms from 200 + 120, 75 from 175
		"nearer to a continuation":      {[]Event{jab, at(BlueCorner, Jab, 200_000), last(245_000)}, Continue}, // 75 and 70
		"after a lunge, not back yet":   {[]Event{how(jab, Lunging), at(BlueCorner, Jab, 524_000), last(700_000)}, Initiate},
		"theirs first, then own":        {[]Event{at(BlueCorner, Jab, -50_000), jab, last(300_000)}, Continue},
		"the referee's break":           {[]Event{at(NoCorner, Break, 0), last(100_000)}, Initiate},
		"a later row of theirs between": {[]Event{theirs, at(BlueCorner, StepBack, 300_000), last(100_000)}, Answer},
	} {
		i := len(c.rows) - 1
		if c.rows[i].Corner == BlueCorner {
			i--
		}
		require.Equal(t, c.want, PointOf(c.rows, i), name)
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
	for m := range NumMoves { // a way back for every move
		require.Equal(t, m != NoMove, m.UsualRetraction() > 0, m)
	}
}
