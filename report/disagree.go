package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/tape"
)

// largest lists the weightiest disagreements in the order of the clock, for coders to look at.
func largest(b *strings.Builder, p *calibrate.PairAgreement) {
	list := weightiest(p.Disagreements, shownDisagreements)
	if len(list) == 0 {
		fmt.Fprintf(b, "\n%s and %s differ nowhere.\n", harmless(p.First), harmless(p.Second))
		return
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"  round", "clock of " + p.First, "of " + p.Second, "corner", "what", p.First, p.Second})
	for _, d := range list {
		t.AppendRow(disagreementRow(d))
	}
	fmt.Fprintf(b, "\nLook at these together: the %d largest of %d disagreements of %s and %s, by clock\n", len(list), len(p.Disagreements), harmless(p.First), harmless(p.Second))
	b.WriteString(trimmed(t) + "\n")
}

// weightiest picks the n of most weight, of equal ones the earlier, and leaves them in their order.
func weightiest(all []calibrate.Disagreement, n int) (out []calibrate.Disagreement) {
	at := make([]int, len(all))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(i, j int) int { return cmp.Compare(all[j].Weight, all[i].Weight) })
	at = at[:min(n, len(at))]
	slices.Sort(at)
	for _, i := range at {
		out = append(out, all[i])
	}
	return out
}

func disagreementRow(d calibrate.Disagreement) table.Row {
	what := d.What
	if d.Seconds > 0 {
		what = fmt.Sprintf("%s, %.1f s", what, d.Seconds)
	}
	return table.Row{fmt.Sprintf("  %d", d.Round), clock(d.FirstClock), clock(d.SecondClock), d.Corner, what, orDash(d.First), orDash(d.Second)}
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// clock shows tenths; a moment before the bell, which the other coder's clock may give, is the bell.
func clock(s float64) string {
	return tape.FormatClock(int64(max(s, 0)*10+.5) * 100_000)
}
