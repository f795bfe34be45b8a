package infer

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Kind says what the level of an interval means.
type Kind string

// The kinds.
const (
	// Confidence: over repetitions of the data, such intervals hold the true value with about the level's frequency.
	Confidence Kind = "confidence"
	// Credible: given prior and data, the value lies inside with the level's probability.
	Credible Kind = "credible"
	// OverDraws: given the draws, a further draw's expected value lies inside with about the level's probability.
	OverDraws Kind = "over draws"
)

// Interval is an estimate that does not travel alone.
type Interval struct {
	Level    float64  `json:"level"` // above 0 and below 1
	Low      float64  `json:"low"`
	High     float64  `json:"high"`
	Centre   float64  `json:"centre"` // the estimate; not always the middle
	Kind     Kind     `json:"kind"`
	Method   string   `json:"method"` // by what the bounds were found
	Count    float64  `json:"count"`  // trials, events or draws behind it; what is counted is the method's
	Warnings []string `json:"warnings,omitempty"`
}

// Width is from bound to bound.
func (i Interval) Width() float64 { return i.High - i.Low }

// Half is half the width: what comes after ± when the centre is the middle.
func (i Interval) Half() float64 { return i.Width() / 2 }

// Holds reports whether x lies inside, bounds included.
func (i Interval) Holds(x float64) bool { return i.Low <= x && x <= i.High }

func (i *Interval) warn(format string, args ...any) {
	i.Warnings = append(i.Warnings, fmt.Sprintf(format, args...))
}

// tail is the chance that a two-sided interval leaves on each side.
func tail(level float64) float64 {
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("infer: a level of %v is not between 0 and 1", level))
	}
	return (1 - level) / 2
}

// normalQuantile is z of a two-sided interval.
func normalQuantile(level float64) float64 { return -distuv.UnitNormal.Quantile(tail(level)) }

// studentQuantile is t of a two-sided interval.
func studentQuantile(level, df float64) float64 {
	return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(tail(level))
}
