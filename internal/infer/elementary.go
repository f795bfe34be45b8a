package infer

import "math"

// Elementary sums up the elementary effects of one input: how much a function changes when that input alone is moved by a step, from many places
// (Morris 1991, Technometrics 33, 161–174; moved from a place of its own each time, Campolongo, Saltelli & Cariboni 2011, Comput. Phys. Commun.
// 182, 978–988; both from memory). Effects are per unit of step.
type Elementary struct {
	Effects  int     `json:"effects"`
	Mean     float64 `json:"mean"`     // μ: what a step does on average; effects of both signs cancel
	Absolute float64 `json:"absolute"` // μ*, the mean of absolute effects (Campolongo, Cariboni & Saltelli 2007), noise included
	SD       float64 `json:"sd"`       // σ: how far effects differ, by curves or interplay, noise taken off; 0 where noise has it all
	Size     float64 `json:"size"`     // root mean square of the effects, noise taken off; 0 where noise has it all
	SizeSE   float64 `json:"size_se"`  // of Size, by the delta method; of its square's root where Size is 0
	ByNoise  float64 `json:"by_noise"` // what Absolute would be if the input did nothing, for normal noise
	Told     bool    `json:"told"`     // Size is told from none, one-sided
	RawSD    float64 `json:"raw_sd"`   // σ, noise included
}

// ElementaryEffects sums up the effects of one input. moves[k] holds repeats of the noisy function's change on its k-th move, which went steps[k]
// far. Without noise a single repeat will do. Level is that of Told. There must be two moves.
func ElementaryEffects(moves [][]float64, steps []float64, level float64) Elementary {
	if len(moves) < 2 || len(moves) != len(steps) {
		panic("infer: elementary effects need two moves, each with its step")
	}
	var effects, squares Group
	e, noise := Elementary{Effects: len(moves)}, 0.0
	n := float64(len(moves))
	for k, move := range moves {
		x, own := meanOf(move)/steps[k], 0.0
		if len(move) > 1 {
			own = noiseOf(move) / steps[k] / steps[k]
		}
		effects.Add(x)
		squares.Add(x*x - own)
		e.Absolute += math.Abs(x) / n
		e.ByNoise += math.Sqrt(2/math.Pi*own) / n
		noise += own / n
	}
	raw := effects.squares() / (n - 1)
	e.Mean, e.RawSD, e.SD = effects.Mean(), math.Sqrt(raw), math.Sqrt(max(raw-noise, 0))
	e.Size = math.Sqrt(max(squares.Mean(), 0))
	se := errorOf(squares)
	switch {
	case e.Size > 0 && se/(2*e.Size) < math.Sqrt(se):
		e.SizeSE = se / (2 * e.Size)
	default:
		e.SizeSE = math.Sqrt(se)
	}
	e.Told = squares.Mean() > studentQuantile(2*level-1, n-1)*se
	return e
}

// errorOf is the standard error of a group's mean.
func errorOf(g Group) float64 { return math.Sqrt(g.squares() / (g.N - 1) / g.N) }
