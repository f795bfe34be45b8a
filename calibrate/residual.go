package calibrate

import (
	"context"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Residual is a figure of one fighter over all tape, or of everybody, beside what the finished profiles give when they fight the coded
// bouts again. It says whether calibration and engine mean the same, not whether the model is right: audit asks that.
type Residual struct {
	Fighter   string // "" for everybody together
	Family    fighter.Family
	Figure    ResidualFigure
	Coded     float64
	Simulated float64 // mean over draws of the profiles
	Error     float64 // standard deviation between draws: of the profiles and of one such tape
	Standard  float64 // coded less simulated, in those; 0 where there is no error to measure by
	Offset    float64 // what would have to be added to the logarithm of the rate, or the log-odds of the share, to close it
}

// ResidualFigure says what a residual is about.
type ResidualFigure string

// What residuals are about.
const (
	ResidualRate  ResidualFigure = "tried, a minute"
	ResidualShare ResidualFigure = "came off, share of those tried"
)

const (
	residualSeed  = 0x7265736964
	residualDraws = 100
)

// tried counts attempts of the families, those whose result was seen, and those that came off.
type tried struct{ tries, told, made [fighter.NumFamilies]float64 }

func (t *tried) add(o *tried) {
	for f := range t.tries {
		t.tries[f] += o.tries[f]
		t.told[f] += o.told[f]
		t.made[f] += o.made[f]
	}
}

// read adds a round's attempts of a corner, in the light.
func (t *tried) read(r *roundReader, c tape.Corner, in *light) {
	for i := r.light.first; i < r.light.last; i++ {
		e := &r.src.events[i]
		if f, ok := fighter.FamilyOf(e.Act); ok && e.Corner == c && in.has(e.Clock) && r.src.lookedFor(e.Act) {
			t.tries[f]++
			if e.Result != tape.ResultUncoded && e.Result != tape.ResultUnknown {
				t.told[f]++
			}
			if came(e) {
				t.made[f]++
			}
		}
	}
}

// residuals replays all tape with draws of the profiles and counts attempts by family. Draws are joint where the skills are.
func residuals(ctx context.Context, all []*replay, joint *fighter.Joint, workers int) ([]Residual, error) {
	coded, minutes := map[string]*tried{}, map[string]float64{}
	for _, r := range all {
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			if !r.counts(c) {
				continue
			}
			id := r.src.id(c)
			if coded[id] == nil {
				coded[id] = &tried{}
			}
			for i := range r.src.lights {
				coded[id].read(&roundReader{src: r.src, light: &r.src.lights[i]}, c, &r.src.lights[i])
				minutes[id] += r.src.lights[i].seconds() / 60
			}
		}
	}
	draws, err := replayed(ctx, all, joint, workers)
	if err != nil {
		return nil, err
	}
	return compared(coded, minutes, draws), nil
}

// counts reports whether a corner's attempts and their results were coded.
func (r *replay) counts(c tape.Corner) bool {
	return r.src.bout.Corners[c] && r.src.bout.LookedFor[tape.GroupResults]
}

// replayed gives everybody's attempts on so many simulated tapes.
func replayed(ctx context.Context, all []*replay, joint *fighter.Joint, workers int) ([]map[string]*tried, error) {
	out := make([]map[string]*tried, residualDraws)
	bouts := make([]*sim.Bout, batch.Workers(workers, residualDraws))
	pairs := make([]*fighter.Pair, len(all))
	for i, r := range all {
		pairs[i] = &fighter.Pair{Red: r.pair[0], Blue: r.pair[1], Joint: joint}
	}
	err := batch.Run(ctx, residualDraws, len(bouts), func(w, k int) error {
		if bouts[w] == nil {
			bouts[w] = sim.NewBout()
		}
		out[k] = map[string]*tried{}
		for i, r := range all {
			red, blue := pairs[i].Draw(residualSeed, uint64(k), false)
			rounds, err := r.play(bouts[w], [2]fighter.Draw{red, blue}, kernel.NewKey(residualSeed, uint64(k), uint64(i)), 0)
			if err != nil {
				return err
			}
			for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
				if !r.counts(c) {
					continue
				}
				id := r.src.id(c)
				if out[k][id] == nil {
					out[k][id] = &tried{}
				}
				for n, rr := range rounds {
					out[k][id].read(rr, c, &r.src.lights[n])
				}
			}
		}
		return nil
	}, nil)
	return out, err
}

// compared sets coded and simulated counts beside each other, fighter by fighter and then together.
func compared(coded map[string]*tried, minutes map[string]float64, draws []map[string]*tried) (out []Residual) {
	ids := slices.Sorted(maps.Keys(coded))
	everybody, together := &tried{}, 0.0
	all := make([]*tried, len(draws))
	for k := range all {
		all[k] = &tried{}
	}
	for _, id := range ids {
		everybody.add(coded[id])
		together += minutes[id]
		one := make([]*tried, len(draws))
		for k := range draws {
			one[k] = draws[k][id]
			all[k].add(one[k])
		}
		out = append(out, residualsOf(id, coded[id], minutes[id], one)...)
	}
	return append(out, residualsOf("", everybody, together, all)...)
}

// leastTried is how many attempts a share needs to be shown.
const leastTried = 5

func residualsOf(id string, coded *tried, minutes float64, draws []*tried) (out []Residual) {
	if minutes == 0 {
		return nil
	}
	for f := range fighter.NumFamilies {
		rates, shares := make([]float64, len(draws)), []float64{}
		for k, d := range draws {
			rates[k] = d.tries[f] / minutes
			if d.told[f] > 0 {
				shares = append(shares, d.made[f]/d.told[f])
			}
		}
		if coded.tries[f] == 0 && stat.Mean(rates, nil) == 0 {
			continue
		}
		r := residual(coded.tries[f]/minutes, rates)
		r.Fighter, r.Family, r.Figure = id, f, ResidualRate
		r.Offset = math.Log((r.Coded*minutes + .5) / (r.Simulated*minutes + .5))
		out = append(out, r)
		if n := coded.told[f]; n >= leastTried && len(shares) > len(draws)/2 {
			r := residual(coded.made[f]/n, shares)
			r.Fighter, r.Family, r.Figure = id, f, ResidualShare
			r.Offset = logOdds(coded.made[f], n) - logOdds(r.Simulated*n, n)
			out = append(out, r)
		}
	}
	return out
}

func residual(coded float64, draws []float64) Residual {
	mean, sd := stat.MeanStdDev(draws, nil)
	r := Residual{Coded: coded, Simulated: mean, Error: sd}
	if sd > 0 {
		r.Standard = (coded - mean) / sd
	}
	return r
}
