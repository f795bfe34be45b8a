package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tape"
)

// stepPair is how many fighters meet each other alone: two, so that each pair is a calibration of its own.
const stepPair = 2

// stepErrors is what came of truths of one figure: errors of logarithms, and which lay in the middle 90 %.
type stepErrors struct {
	off, spread []float64
	inside      float64
}

func (e *stepErrors) add(p fighter.Posterior, truth float64) {
	off := math.Log(p.A / truth)
	e.off, e.spread = append(e.off, off), append(e.spread, p.B)
	if math.Abs(off) < 1.645*p.B {
		e.inside++
	}
}

// steps prints how truths of step length, step time and closing speed come back: fighters drawn from the population meet in pairs, coded in
// tenths of a second, by an exact coder and by one whose clocks are off by chance.
func steps(w io.Writer, truths int) error {
	fmt.Fprintf(w, "%d truths each, drawn from the population; error: root mean square of the logarithm; before tape: of the population's centre\n", truths)
	for _, rounds := range []int{3, 6, 12} {
		for _, unsteady := range []float64{0, .1} {
			if err := stepsOf(w, truths, rounds, unsteady); err != nil {
				return err
			}
		}
	}
	return nil
}

var stepNames = [3]string{"step length", "step time", "closing speed"}

func stepsOf(w io.Writer, truths, rounds int, unsteady float64) error {
	var errs [3]stepErrors
	var before [3][]float64
	ended := map[calibrate.StepEnding]int{}
	length, time := fighter.Alone(fighter.StepLength), fighter.Alone(fighter.StepTime)
	usual := fighter.Population("usual", fighter.AverageBody()).Centre()
	for n := range truths / stepPair {
		l, err := stepLeague(uint64(1000*rounds+n), rounds, unsteady)
		if err != nil {
			return err
		}
		r, err := calibrate.Calibrate(l.tape, calibrate.Options{Steps: true})
		if err != nil {
			return err
		}
		for i := range r.Steps {
			f, d := &r.Steps[i], l.truths[i]
			ended[f.Ended]++
			takes := float64(tape.UsualTime(tape.StepIn)) / 1e6
			errs[0].add(f.Length, d[length])
			errs[1].add(f.Time, d[time])
			errs[2].add(f.Speed, d[length]/d[time]/takes)
			for k, x := range [3]float64{usual[length] / d[length], d[time], usual[length] / d[length] * d[time]} {
				before[k] = append(before[k], math.Log(x))
			}
		}
	}
	fmt.Fprintf(w, "\n%d rounds, clocks off by %.1f s at random; ended: %v\n%-14s %12s %7s %6s %7s %17s\n", rounds, unsteady, ended, "", "before tape", "error",
		"bias", "spread", "inside 90 % (±)")
	for k := range errs {
		e := &errs[k]
		share := e.inside / float64(len(e.off))
		fmt.Fprintf(w, "%-14s %12.3f %7.3f %+6.3f %7.3f %10.3f (%.3f)\n", stepNames[k], rms(before[k]), rms(e.off), stat.Mean(e.off, nil), stat.Mean(e.spread, nil), share,
			math.Sqrt(share*(1-share)/float64(len(e.off))))
	}
	return nil
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// stepLeague is two fighters who meet over so many rounds, all their figures drawn, assumptions too, and coded in tenths of a second by clocks that
// are off so much at random.
func stepLeague(seed uint64, rounds int, unsteady float64) (*league, error) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		return nil, err
	}
	l := &league{rules: rules}
	for i := range stepPair {
		l.ids = append(l.ids, voleID(i))
		l.truths = append(l.truths, fighter.Population(voleID(i), fighter.AverageBody()).Draw(seed, 0x7374657073, true))
	}
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	random := rand.New(rand.NewPCG(seed, 0x636c6f636b))
	for range rounds / rules.Rounds {
		if err := l.play(b, seed, [2]int{0, 1}); err != nil {
			return nil, err
		}
		clock(l.tape[len(l.tape)-1].Rows, unsteady, int64(rules.RoundSeconds)*1e6, random)
	}
	return l, nil
}

// clock writes down tenths of a second; acts are off by chance before.
func clock(rows []tape.Row, unsteady float64, bell int64, random *rand.Rand) {
	for i := range rows {
		e := &rows[i].Event
		if off := random.NormFloat64() * unsteady * 1e6; e.IsAct() {
			e.Clock += int64(off)
		}
		e.Clock = min(max((e.Clock+tenth/2)/tenth*tenth, 0), bell)
	}
	inOrder(rows)
}

const tenth = 100_000 // µs
