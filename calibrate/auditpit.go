package calibrate

import (
	"math"
	"slices"

	"whatbout/internal/infer"
)

// AuditPoint is a point of a curve at U, between 0 and 1: the mean PIT of a group, or the share of rescaled gaps up to U, with the band in which
// 90 % of the draws have theirs there.
type AuditPoint struct {
	U     float64 `json:"u"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

const pitPoints = 9

// pits gives the group's mean PIT at .1 to .9 with the band of the draws', and every set's largest distance from the diagonal.
func pits(cells []*cell) ([]AuditPoint, []float64) {
	sets := len(cells[0].draws) + 1
	fewer, atMost := make([][]float64, sets), make([][]float64, sets)
	for _, c := range cells {
		sorted := slices.Clone(c.draws)
		sorted = append(sorted, c.Coded)
		slices.Sort(sorted)
		for s := range sets {
			low, _ := slices.BinarySearch(sorted, c.set(s))
			high := low
			for high < sets && sorted[high] == c.set(s) {
				high++
			}
			fewer[s], atMost[s] = append(fewer[s], float64(low)/float64(sets)), append(atMost[s], float64(high)/float64(sets))
		}
	}
	points, far := make([]AuditPoint, pitPoints), make([]float64, sets)
	for i := range points {
		p := AuditPoint{U: float64(i+1) / (pitPoints + 1)}
		at := make([]float64, sets)
		for s := range at {
			at[s] = infer.PIT(fewer[s], atMost[s], p.U)
			far[s] = max(far[s], math.Abs(at[s]-p.U))
		}
		band := infer.Central(at[:sets-1], .9)
		p.Share, p.Low, p.High = at[sets-1], band.Low, band.High
		points[i] = p
	}
	return points, far
}
