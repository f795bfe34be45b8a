package report

import (
	"encoding/csv"
	"io"
	"strconv"
)

// CSV writes one row a plan. A barred plan has no chance and no loss; as usual has no prices.
func (c *Choice) CSV(w io.Writer) error {
	header := []string{"plan", "draws", "value", "gain", "gain_simulation_low", "gain_simulation_high", "gain_all_doubt_low", "gain_all_doubt_high", "barred",
		"chance_best", "expected_loss", "expected_loss_simulation", "against_best_low", "against_best_high", "frontier"}
	prices := c.Plans[len(c.Plans)-1].Prices
	for _, p := range prices {
		header = append(header, p.Outcome, p.Outcome+"_simulation_low", p.Outcome+"_simulation_high", p.Outcome+"_stand")
	}
	rows := [][]string{header}
	for _, p := range c.Plans {
		row := append([]string{p.Name, strconv.Itoa(p.Draws)}, numbers(p.Value, p.Gain.Mean, p.Gain.Simulation.Low, p.Gain.Simulation.High, p.Gain.AllDoubt.Low, p.Gain.AllDoubt.High)...)
		row = append(row, strconv.FormatBool(p.Barred))
		if p.Barred {
			row = append(row, make([]string, 5)...)
		} else {
			row = append(row, numbers(p.Chance, p.Loss, p.Simulation, p.Against[0], p.Against[1])...)
		}
		row = append(row, strconv.FormatBool(p.Frontier))
		for i := range prices {
			if len(p.Prices) == 0 {
				row = append(row, make([]string, 4)...)
				continue
			}
			x := &p.Prices[i]
			row = append(append(row, numbers(x.Difference, x.Simulation.Low, x.Simulation.High)...), string(x.Stand))
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}
