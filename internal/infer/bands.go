package infer

import "math"

// Band is a mean over draws with a central interval over them.
type Band struct{ Mean, Low, High float64 }

// Bands gives, for every point of a series, the mean over draws and the central interval over them with the luck of their bouts taken
// out as in [Shrunk]; but how far draws differ is the mean of the points' variance components, weighted by their degrees of freedom
// between draws, since that of a single point would let the band come and go. groups[i] holds the draws of point i that have any values;
// a point where they cannot be split (fewer than two draws, or one value in each) has its mean and no width, and one without values is
// zero.
func Bands(groups [][]Group, level float64) []Band {
	between, weight := 0.0, 0.0
	for _, at := range groups {
		if splits(at) {
			df := float64(len(at) - 1)
			between, weight = between+df*Split(at).Between, weight+df
		}
	}
	between = max(between/max(weight, 1), 0)
	out := make([]Band, len(groups))
	for i, at := range groups {
		out[i] = bandOf(at, between, level)
	}
	return out
}

func bandOf(draws []Group, between, level float64) Band {
	if len(draws) == 0 {
		return Band{}
	}
	mean := 0.0
	for _, g := range draws {
		mean += g.Mean() / float64(len(draws))
	}
	if !splits(draws) || between == 0 {
		return Band{mean, mean, mean}
	}
	within := Split(draws).MSW
	moved := make([]float64, len(draws))
	for i, g := range draws {
		moved[i] = mean + math.Sqrt(between/(between+within/g.N))*(g.Mean()-mean)
	}
	c := Central(moved, level)
	return Band{mean, c.Low, c.High}
}

// splits reports whether variance components can be had.
func splits(draws []Group) bool {
	total := 0.0
	for _, g := range draws {
		total += g.N
	}
	return len(draws) >= 2 && total > float64(len(draws))
}
