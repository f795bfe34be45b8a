package fighter

import (
	"hash/fnv"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/sim/kernel"
)

// Posterior is what is believed of one figure; A and B mean what the figure's [Law] says.
type Posterior struct{ A, B float64 }

// times is what a weight's gamma is multiplied by: B, or 1 where it is 0.
func (p Posterior) times() float64 {
	if p.B == 0 {
		return 1
	}
	return p.B
}

// Mean gives the centre: the mean of a rate, weight or skill, the median of a size.
func (p Posterior) Mean(law Law) float64 {
	if law == Weight {
		return float64(p.A * p.times())
	}
	if law == Rate {
		if p.A == 0 {
			return 0
		}
		return p.A / p.B
	}
	return p.A
}

// draw takes one value.
func (p Posterior) draw(law Law, src *kernel.Stream) float64 {
	switch law {
	case Rate, Weight:
		if p.A == 0 {
			return 0
		}
		beta := 1 / p.times()
		if law == Rate {
			beta = p.B
		}
		return distuv.Gamma{Alpha: p.A, Beta: beta, Src: src}.Rand()
	case Skill:
		return p.A + float64(p.B*standardNormal(src))
	default:
		return p.A * math.Exp(float64(p.B*standardNormal(src)))
	}
}

func standardNormal(src *kernel.Stream) float64 {
	return distuv.Normal{Mu: 0, Sigma: 1, Src: src}.Rand()
}

// Draw is one possible truth of a fighter, by [Figure]. Read and set it freely.
type Draw []float64

// Get reads a figure.
func (d Draw) Get(f Figure) float64 { return d[f] }

// Set writes a figure.
func (d Draw) Set(f Figure, x float64) { d[f] = x }

// round keeps 20 bits behind the leading one, so that draws are the same on machines whose Exp differs in the last bit.
func round(x float64) float64 {
	m, e := math.Frexp(x)
	return math.Ldexp(math.Round(m*(1<<20)), e-20)
}

// figureHash keys a figure's stream by its name, so that figures added later move no other's draws.
func figureHash(name string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(name))
	return h.Sum64()
}

var figureKeys []uint64

func init() {
	for _, d := range definitions {
		figureKeys = append(figureKeys, figureHash(d.Name))
	}
}
