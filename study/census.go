package study

import (
	"context"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// CensusRow is one figure of the model against the literature.
type CensusRow struct {
	What      string
	Kind      string // fit: tuned on, or follows from what was; test: never tuned on; input: a figure that was put in
	Source    string
	Low, High float64 // the pass band
	Value, SE float64 // SE is that of the simulated bouts alone
	Count     int     // values behind it
}

// Inside reports whether the value lies inside the band, or outside by no more than 4.9 standard errors.
func (r *CensusRow) Inside() bool { return r.Value+4.9*r.SE >= r.Low && r.Value-4.9*r.SE <= r.High }

// Census plays evenly matched bouts, as usual and under three rule sets, and holds them against the published
// numbers. The bands are those figures with room for differences of definition.
func Census(ctx context.Context, bouts, workers int) ([]CensusRow, error) {
	c := &census{ctx: ctx, workers: workers}
	c.mma(bouts)
	c.kickboxing(bouts / 4)
	c.boxing(bouts / 4)
	c.anticipation(bouts / 8)
	c.crowd(bouts / 4)
	c.inputs()
	return c.rows, c.err
}

type census struct {
	ctx     context.Context
	workers int
	rows    []CensusRow
	err     error
}

// setting is what differs from an average bout.
type setting struct {
	rules  string
	adjust func(b *sim.Bout)
	edit   func(d fighter.Draw)
}

// tempoSpread is how much people's tempo as a whole differs: the standard deviation of its logarithm (judgement; fit to the quartiles of
// row 1).
const tempoSpread = .68

// twins draws somebody from the population, to fight their like: evenly matched bouts of different people, since published figures are
// of many people, too.
func twins(k uint64) fighter.Draw {
	d := fighter.Population("twin", fighter.AverageBody()).Draw(0x63656e, k, true)
	s := kernel.NewKey(0x63656e, k, 1).Stream()
	tempo := math.Exp(tempoSpread * min(max(float64(kernel.Normal(s.Uint32()))/kernel.NormalUnit, -1.6), 1.6))
	for z := range fighter.Clinch {
		total := 0.0
		for m := range tape.NumMoves {
			total += d[fighter.Initiate(z, m)]
		}
		by := min(tempo, busiest/total)
		for m := range tape.NumMoves {
			d[fighter.Initiate(z, m)] *= by
		}
	}
	return d
}

// busiest is the most acts that anybody is taken to begin, per free second.
const busiest = 3

// play gives, for every bout, the values that see notes; the outer index is the bout.
func play[T any](c *census, s setting, bouts int, see func(b *sim.Bout, o *sim.Outcome) T) []T {
	out := make([]T, max(bouts, 2))
	rules, err := tape.RuleSetNamed(s.rules)
	if err != nil {
		c.err = err
	}
	if c.err != nil {
		return out
	}
	_, c.err = batch.Play(c.ctx, batch.Spec{
		Setup: func(b *sim.Bout) error {
			b.Setup(rules, sim.AverageWorld())
			if s.adjust != nil {
				s.adjust(b)
			}
			return nil
		},
		Before: func(i int, b *sim.Bout) error {
			d := twins(uint64(i))
			if s.edit != nil {
				s.edit(d)
			}
			for c := range b.Sides {
				if err := b.Sides[c].Load(fighter.AverageBody(), d, nil, nil, rules); err != nil {
					return err
				}
			}
			return nil
		},
		Key:     func(i int) kernel.Key { return kernel.NewKey(0x63656e, uint64(i)) },
		Bouts:   len(out),
		Workers: c.workers,
		See:     func(i int, b *sim.Bout, o *sim.Outcome) { out[i] = see(b, o) },
	})
	return out
}

// mean adds a row of the mean of values, one a bout or round.
func (c *census) mean(kind, what, source string, low, high float64, values []float64) {
	n, sum, square := float64(len(values)), 0.0, 0.0
	for _, x := range values {
		sum, square = sum+x, square+x*x
	}
	m := sum / max(n, 1)
	c.add(CensusRow{What: what, Kind: kind, Source: source, Low: low, High: high, Value: m, Count: len(values),
		SE: math.Sqrt(max(square/max(n, 1)-m*m, 0) / max(n, 1))})
}

// quantile adds a row of a quantile; its standard error is half the distance between the order statistics one standard error of the
// rank away (Woodruff 1952, from memory).
func (c *census) quantile(kind, what, source string, low, high, p float64, values []float64) {
	sorted := slices.Sorted(slices.Values(values))
	n := float64(len(sorted))
	if n == 0 {
		return
	}
	at := func(rank float64) float64 { return sorted[int(min(max(rank, 0), n-1))] }
	spread := math.Sqrt(n * p * (1 - p))
	c.add(CensusRow{What: what, Kind: kind, Source: source, Low: low, High: high, Value: at(n * p), Count: len(values),
		SE: (at(n*p+spread) - at(n*p-spread)) / 2})
}

func (c *census) add(r CensusRow) { c.rows = append(c.rows, r) }

// ratio adds a row of a ratio of sums over bouts, with the standard error of a ratio estimator (Cochran 1977, Sampling Techniques, 6.3, from
// memory).
func (c *census) ratio(kind, what, source string, low, high float64, parts [][2]float64) {
	n, x, y := float64(len(parts)), 0.0, 0.0
	for _, p := range parts {
		x, y = x+p[0], y+p[1]
	}
	r, square := x/max(y, 1), 0.0
	for _, p := range parts {
		d := p[0] - r*p[1]
		square += d * d
	}
	c.add(CensusRow{What: what, Kind: kind, Source: source, Low: low, High: high, Value: r, Count: len(parts), SE: math.Sqrt(square) / max(y, 1) * math.Sqrt(n/max(n-1, 1))})
}
