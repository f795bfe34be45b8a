package cmd

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"whatbout/calibrate"
	"whatbout/fighter"
)

// tellSteps says how each step was found, with the moments behind it.
func tellSteps(w io.Writer, r *calibrate.Result) error {
	if r.Steps == nil {
		return nil
	}
	var b strings.Builder
	b.WriteString("\nSteps, from how the fighters move between ranges and how soon steps end after what they followed (intervals of 90 %; residual: coded less\n" +
		"fitted, in standard deviations of one such tape; closing speed: of a step in, its length over its time):\n")
	for i := range r.Steps {
		f := &r.Steps[i]
		fmt.Fprintf(&b, "%s: %s, %.0f steps seen; %.0f continued or answered something\n", f.Fighter, f.Ended, f.Steps, f.Gaps)
		fmt.Fprintf(&b, "  step length %s m%s\n", between(f.Length), assumed(f, 0))
		fmt.Fprintf(&b, "  step time %s of the usual%s\n", between(f.Time), assumed(f, 1))
		fmt.Fprintf(&b, "  closing speed %s m/s\n", between(f.Speed))
		if f.Clocks >= noticed {
			fmt.Fprintf(&b, "  the coder's clocks seem to be off by %.2f s at random (standard deviation), which the fit allows for\n", f.Clocks)
		}
		table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
		if len(f.Moments) > 0 {
			fmt.Fprintln(table, "  moment\tcoded\tpopulation's step\tfitted\tresidual")
		}
		for _, m := range f.Moments {
			fmt.Fprintf(table, "  %s\t%.3f\t%.3f\t%.3f\t%+.1f\n", m.Name, m.Coded, m.Population, m.Fitted, m.StandardResidual)
		}
		if err := table.Flush(); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// noticed is from where on unsteady clocks are told, s: exact ones seem to be off by less than that, by chance.
const noticed = .04

// between gives the centre of a positive figure and its middle 90 %.
func between(p fighter.Posterior) string {
	return fmt.Sprintf("%.3f (%.3f to %.3f)", p.A, p.A*math.Exp(-1.645*p.B), p.A*math.Exp(1.645*p.B))
}

// assumed says that a figure of the step stays the population's.
func assumed(f *calibrate.StepFit, figure int) string {
	if f.Ended == calibrate.StepConverged && f.Told[figure] {
		return ""
	}
	return ": the population's, an assumption"
}

// tellPlaces names the rates that change with more than the range.
func tellPlaces(w io.Writer, r *calibrate.Result) error {
	if r.Places == nil {
		return nil
	}
	var b strings.Builder
	b.WriteString("\nRates by fence, centre and stance beside those elsewhere at the same range, as counted (profiles hold them as place.*, drawn towards the population):\n")
	far := 0
	for i := range r.Places {
		if p := &r.Places[i]; p.Q <= scoutRate {
			far++
			fmt.Fprintf(&b, "  %s, %s: %.3g in %.1f free minutes, %.1f expected\n", p.Fighter, p.String(), p.Acts, p.Minutes, p.Expected)
		}
	}
	fmt.Fprintf(&b, "%d of %d that were frequent enough to be compared differ (false discovery rate %.0f %%).\n",
		far, len(r.Places), 100*scoutRate)
	_, err := io.WriteString(w, b.String())
	return err
}

// farResidual is how many standard deviations a residual is off when it is marked: one in 370 is by chance.
const farResidual = 3

// tellResiduals sets coded beside simulated figures.
func tellResiduals(w io.Writer, r *calibrate.Result) error {
	if r.Residuals == nil || r.Closed != nil {
		return nil
	}
	var b strings.Builder
	b.WriteString("\nThe coded bouts fought again with these profiles (residual: coded less simulated, in standard deviations; offset: what would close\n" +
		"it, in log-odds or as a logarithm; marked * from 3 standard deviations on):\n")
	table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "fighter\tfamily\tfigure\tcoded\tsimulated\tresidual\toffset")
	far := 0
	for _, x := range r.Residuals {
		who, mark := x.Fighter, ""
		if who == "" {
			who = "all"
		}
		if math.Abs(x.Standard) >= farResidual {
			mark = " *"
			far++
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%.3f\t%.3f ± %.3f\t%+.1f%s\t%+.2f\n", who, x.Family, x.Figure, x.Coded, x.Simulated, x.Error, x.Standard, mark, x.Offset)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(&b, "%d of %d residuals are marked. The profiles rest on these very bouts: whether the model is right, audit --hold-back asks.\n", far, len(r.Residuals))
	_, err := io.WriteString(w, b.String())
	return err
}
