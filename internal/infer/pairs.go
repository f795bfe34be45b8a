package infer

import "math"

// Pairs sums two values over pairs of bouts on the same luck.
type Pairs struct{ N, X, Y, XX, YY, XY float64 }

// Add counts a pair.
func (p *Pairs) Add(x, y float64) { p.Merge(Pairs{1, x, y, x * x, y * y, x * y}) }

// Merge adds other pairs.
func (p *Pairs) Merge(q Pairs) {
	p.N, p.X, p.Y, p.XX, p.YY, p.XY = p.N+q.N, p.X+q.X, p.Y+q.Y, p.XX+q.XX, p.YY+q.YY, p.XY+q.XY
}

// Difference is the group of the values x - y.
func (p Pairs) Difference() Group { return Group{p.N, p.X - p.Y, p.XX - 2*p.XY + p.YY} }

// products gives sums of squares and products about the means.
func (p Pairs) products() (xx, yy, xy float64) {
	return max(p.XX-p.X*p.X/p.N, 0), max(p.YY-p.Y*p.Y/p.N, 0), p.XY - p.X*p.Y/p.N
}

// Correlation is that of all pairs as one sample; 0 when either value never changes. Over several draws it also contains what the
// draws have in common, which pairing did not win: see [PoolPairs].
func (p Pairs) Correlation() float64 {
	if p.N == 0 {
		return 0
	}
	return correlation(p.products())
}

func correlation(xx, yy, xy float64) float64 {
	if xx <= 0 || yy <= 0 {
		return 0
	}
	return min(max(xy/math.Sqrt(xx*yy), -1), 1)
}

// Pairing is what playing two plans on the same luck won, over pairs within draws.
type Pairing struct {
	Pairs       float64 // in all draws
	VarX, VarY  float64 // variances within draws, pooled
	Cov         float64 // covariance within draws, pooled
	Correlation float64 // Cov/√(VarX·VarY); 0 when either value never changes
	SE          float64 // of Correlation, by a jackknife over draws; 0 with fewer than three draws
}

// PoolPairs pools pairs within draws: the draws' own differences, which pairing has no part in, are taken out. There must be two
// pairs in some draw, or it panics.
func PoolPairs(draws []Pairs) Pairing {
	var n, df, xx, yy, xy float64
	for _, p := range draws {
		if p.N == 0 {
			continue
		}
		a, b, c := p.products()
		n, df, xx, yy, xy = n+p.N, df+p.N-1, xx+a, yy+b, xy+c
	}
	if df == 0 {
		panic("infer: no draw has two pairs")
	}
	return Pairing{Pairs: n, VarX: xx / df, VarY: yy / df, Cov: xy / df, Correlation: correlation(xx, yy, xy),
		SE: correlationError(draws, xx, yy, xy)}
}

// correlationError drops every draw in turn.
func correlationError(draws []Pairs, xx, yy, xy float64) float64 {
	var values Group
	for _, p := range draws {
		if p.N > 0 {
			a, b, c := p.products()
			values.Add(correlation(xx-a, yy-b, xy-c))
		}
	}
	if values.N < 3 {
		return 0
	}
	return math.Sqrt(values.squares() * (values.N - 1) / values.N)
}

// Saved is how many independent bouts one paired bout is worth when a difference is wanted: (VarX+VarY)/(VarX+VarY-2Cov), which is
// 1/(1-ρ) for equal variances. Below 1 pairing hurt. It reports false where the paired difference does not vary at all, within rounding:
// any number of bouts was saved.
func (p Pairing) Saved() (factor float64, finite bool) {
	apart := p.VarX + p.VarY
	paired := apart - 2*p.Cov
	if paired <= 1e-12*apart {
		return 0, false
	}
	return apart / paired, true
}
