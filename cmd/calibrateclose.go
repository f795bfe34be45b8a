package cmd

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"whatbout/calibrate"
)

// readClosing reads the two flags together.
func readClosing(word string, whole bool) (calibrate.Closing, error) {
	c, err := calibrate.ReadClosing(word)
	if err == nil && whole && c == calibrate.CloseNone {
		err = errors.New("--close-whole says how much is closed, and nothing is; give --close rates, shares or both with it")
	}
	return c, err
}

// tellClosed sets residuals before and after closing beside each other.
func tellClosed(w io.Writer, r *calibrate.Result) error {
	if r.Closed == nil {
		return nil
	}
	var b strings.Builder
	b.WriteString("\nThe coded bouts fought again, before and after closing (residual: coded less simulated, in standard deviations; applied: what was added to\n" +
		"the logarithm of the fighter's rates, or to everybody's log-odds of success):\n")
	table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "fighter\tfamily\tfigure\tcoded\tbefore\tresidual\tapplied\tafter\tresidual")
	for i := range r.Closed {
		c := &r.Closed[i]
		x, who, applied := &c.Before, c.Before.Fighter, "."
		if who == "" {
			who = "all"
		}
		if c.Applied != 0 {
			applied = fmt.Sprintf("%+.2f", c.Applied)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%.3f\t%.3f\t%+.1f\t%s\t%.3f\t%+.1f\n", who, x.Family, x.Figure, x.Coded, x.Simulated, x.Standard, applied, c.After.Simulated, c.After.Standard)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	shifted, before, after := 0, 0.0, 0.0
	for i := range r.Closed {
		if c := &r.Closed[i]; c.Applied != 0 {
			shifted++
			before, after = before+c.Before.Standard*c.Before.Standard, after+c.After.Standard*c.After.Standard
		}
	}
	if shifted == 0 {
		b.WriteString("Nothing was shifted: no residual of what may be shifted is more than its own error.\n")
	} else {
		fmt.Fprintf(&b, "%d of %d were shifted; root mean square of their residuals %.2f before, %.2f after.\n", shifted, len(r.Closed),
			math.Sqrt(before/float64(shifted)), math.Sqrt(after/float64(shifted)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// tellWorth says what closing is worth, as measured on leagues of 24 whose truths are known (bench/recovery -offsets; DEVELOPERS.md).
func tellWorth(w io.Writer, r *calibrate.Result, o calibrate.Options) error {
	if r.Closed == nil {
		return nil
	}
	var b strings.Builder
	b.WriteString("Closing brings simulated bouts to this tape, its luck too; it does not bring profiles nearer to the fighters. Measured on fighters whose truth is\n" +
		"known, with 6, 12 and 30 coded rounds each (go run ./bench/recovery -offsets):\n")
	if o.Close&calibrate.CloseRates != 0 {
		b.WriteString("  rates: the logarithm of tries in bouts to come was wrong by .19, .13 and .09 as calibrated, by .34, .20 and .12 with each fighter's rates closed\n" +
			"  whole, by .19, .14 and .09 shrunk by their own error.\n")
	}
	if o.Close&calibrate.CloseShares != 0 {
		b.WriteString("  shares: skills were wrong by .26, .23 and .19 in log-odds as calibrated, by .30, .24 and .19 with everybody's shares closed whole, by .28, .23 and\n" +
			"  .19 shrunk by their own error.\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
