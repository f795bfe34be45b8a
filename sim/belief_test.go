package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// believed watches what onsets fighters decide about, real and empty, and what they take them for.
type believed struct {
	t         *testing.T
	seen, yes [2]float64
}

func (w *believed) Chose(b *Bout, at tactics.Point, corner int, _ *kernel.Table, chosen int) {
	if at != tactics.Believe {
		return
	}
	i := 0
	if b.men[corner].seen.real {
		i = 1
	}
	w.seen[i]++
	w.yes[i] += float64(chosen)
	if m := &b.men[corner]; w.t != nil { // what belief is held against does not know what the onset is
		as := b.criterion(corner)
		m.seen.real = !m.seen.real
		require.Equal(w.t, as, b.criterion(corner))
		m.seen.real = !m.seen.real
	}
}

// Landed is not asked about.
func (w *believed) Landed(*Bout, *Landing) {}

func playBelief(t *testing.T, sense, learning float64) *believed {
	t.Helper()
	b := evenBout(t, "mma-3x5")
	for c := range b.Sides {
		body, d := averageDraw()
		for cue := range fighter.NumCues {
			d[fighter.Sense(cue)], d[fighter.Bite(cue)] = sense, .3
		}
		d[fighter.Alone(fighter.Learning)] = learning
		require.NoError(t, b.Sides[c].Load(body, d, nil, nil, b.Rules))
	}
	w := &believed{t: t}
	b.Watch = w
	for i := range 200 {
		b.Run(kernel.NewKey(0x62656c, uint64(i)))
	}
	return w
}

// A belief that never sees the truth: whoever cannot tell real from empty onsets believes both equally often, exactly with chance
// logistic(0.3) when nothing is learned. 4.9 standard errors of a share and of a difference of two. Who can tell, does.
func TestBeliefNeverSeesTheTruth(t *testing.T) {
	blind := playBelief(t, 0, 0)
	p := 1 / (1 + math.Exp(-.3))
	for i := range blind.seen {
		require.Greater(t, blind.seen[i], 1000.0)
		require.InDelta(t, p, blind.yes[i]/blind.seen[i], 4.9*math.Sqrt(p*(1-p)/blind.seen[i]))
	}
	sharp := playBelief(t, 2, 0)
	for i, sign := range []float64{-1, 1} {
		p := 1 / (1 + math.Exp(-.3-sign))
		require.InDelta(t, p, sharp.yes[i]/sharp.seen[i], 4.9*math.Sqrt(p*(1-p)/sharp.seen[i]))
	}
}

// Every attack that comes while the pair stands is learned from as real, whether there was time to do something about it or not; a
// feint is learned from unless the other is on the way down or the pair has closed before it is over.
func TestEveryOnsetIsLearnedFrom(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	var learned, thrown [2]float64
	for i := range 100 {
		b.Run(kernel.NewKey(0x6c6561, uint64(i)))
		standing := true
		for j := range b.Events {
			e := &b.Events[j]
			switch {
			case e.Act == tape.StateRange && e.Corner == tape.RedCorner:
				standing = e.Value != tape.Ground && e.Value != tape.Clinch
			case standing && e.Act.IsAttack() && fighter.ThreatOf(e.Act).Cue() == fighter.Hand:
				thrown[1]++
			case standing && e.Act == tape.FeintHand:
				thrown[0]++
			}
		}
		for c := range b.men {
			learned[0] += float64(b.men[c].empty[fighter.Hand])
			learned[1] += float64(b.men[c].real[fighter.Hand])
		}
	}
	for i, what := range []string{"feints", "attacks"} {
		require.InDelta(t, 1, learned[i]/thrown[i], .1, what)
	}
}
