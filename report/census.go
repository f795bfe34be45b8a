package report

import (
	"fmt"
	"io"
	"strings"

	"whatbout/study"
)

// Census writes the model against the literature as a Markdown table.
func Census(w io.Writer, bouts int, rows []study.CensusRow) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%d evenly matched bouts of average fighters under mixed rules, fewer under others; value +- standard error of the simulation\n\n", bouts)
	b.WriteString("| row | model | band | verdict | kind | source |\n| --- | --- | --- | --- | --- | --- |\n")
	for _, r := range rows {
		verdict := "inside"
		switch {
		case !r.Inside():
			verdict = "OUTSIDE"
		case r.Value < r.Low || r.Value > r.High:
			verdict = "not told apart"
		}
		fmt.Fprintf(&b, "| %s | %.3f +- %.3f | %.2f to %.2f | %s | %s | %s |\n", r.What, r.Value, r.SE, r.Low, r.High, verdict, r.Kind, r.Source)
	}
	b.WriteString("\nfit: tuned on, or following from what was. test: never tuned on. input: put in, so that it says nothing about the model.\n")
	_, err := io.WriteString(w, b.String())
	return err
}
