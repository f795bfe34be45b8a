package report

import (
	"encoding/csv"
	"io"
	"strconv"

	"whatbout/study"
)

var csvHeader = []string{"plan", "outcome", "mean", "simulation_low", "simulation_high", "tape_low", "tape_high", "all_doubt_low",
	"all_doubt_high", "difference", "difference_simulation_low", "difference_simulation_high", "difference_tape_low", "difference_tape_high",
	"difference_all_doubt_low", "difference_all_doubt_high", "probability_better"}

// CSV writes one row a plan and outcome; the baseline has no differences.
func (c *Comparison) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	rows := [][]string{csvHeader}
	for p, plan := range c.Plans {
		for _, m := range study.Measures {
			row := append([]string{plan.Name, m.Name}, doubtNumbers(plan.Outcomes[m.Name])...)
			if d := c.find(plan.Name, m.Name); p > 0 && d != nil {
				row = append(append(row, doubtNumbers(d.Doubts)...), number(d.ProbabilityBetter))
			} else {
				row = append(row, make([]string, len(csvHeader)-len(row))...)
			}
			rows = append(rows, row)
		}
	}
	return out.WriteAll(rows)
}

func doubtNumbers(d study.Doubts) []string {
	return numbers(d.Mean, d.Simulation.Low, d.Simulation.High, d.Tape.Low, d.Tape.High, d.AllDoubt.Low, d.AllDoubt.High)
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
