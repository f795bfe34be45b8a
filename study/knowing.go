package study

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"whatbout/internal/infer"
)

// Knowing says how much hangs on what nobody knows for certain: over possible truths, with the luck of bouts taken out.
type Knowing struct {
	Resolved bool           `json:"resolved"` // false: what sets meetings apart differs between draws by no more than luck
	Value    infer.Interval `json:"value"`    // of the game, were both to know the truth
	You      Worth          `json:"you"`      // what the fighter wins by knowing it, while the opponent keeps to the mixture
	Them     Worth          `json:"them"`     // the same of the opponent
}

// knownTruths are how many possible truths are solved.
const knownTruths = 400

// know solves possible truths, and values knowing them for each side alone.
func (m *matrix) know(r *AdjustResult, b *board) error {
	spread, between := m.covariances(b)
	size := spread.SymmetricDim()
	var square mat.Dense
	square.Mul(spread, spread)
	apart := mat.Trace(between) - mat.Sum(between)/float64(size)
	r.Knowing.Resolved = apart > oneSided*math.Sqrt(2*mat.Trace(&square)/float64(len(m.draws)-1))
	var values []float64
	mixes := [2][][]float64{make([][]float64, len(b.rows)), make([][]float64, len(b.columns))}
	for _, pay := range infer.Truths(b.Mean, between, knownTruths, rand.NewPCG(0x747275, 0x746873)) {
		g, err := infer.SolveGame(pay)
		if err != nil {
			return err
		}
		values = append(values, g.Value)
		for side, mix := range [][]float64{g.Row, g.Column} {
			for n, w := range mix {
				mixes[side][n] = append(mixes[side][n], w)
			}
		}
	}
	r.Knowing.Value = infer.Central(values, m.q.Level)
	for side, kept := range [][]int{b.rows, b.columns} {
		options := [][]Option{r.Yours, r.Theirs}[side]
		for n, i := range kept {
			options[i].overTruths(mixes[side][n], m.q.Level)
		}
	}
	mixture := func(i, j int) float64 { return b.Column[j] }
	r.Knowing.You = m.knower(len(b.rows), len(b.columns), func(i, j int) int { return i*len(b.columns) + j }, mixture, 1, b, spread, between)
	mixture = func(j, i int) float64 { return b.Row[i] }
	r.Knowing.Them = m.knower(len(b.columns), len(b.rows), func(j, i int) int { return i*len(b.columns) + j }, mixture, -1, b, spread, between)
	return nil
}

func (o *Option) overTruths(shares []float64, level float64) {
	o.Truths = infer.Central(shares, level)
	o.InTruths, o.Alone = infer.Parts(shares)
}

// covariances are those of the draw means of all meetings, in rows one after the other, and of what draws expect of them: what luck adds is
// taken off.
func (m *matrix) covariances(b *board) (spread, between *mat.SymDense) {
	size, n := len(b.rows)*len(b.columns), float64(len(m.draws))
	spread, between = mat.NewSymDense(size, nil), mat.NewSymDense(size, nil)
	grand := make([]float64, size)
	for i, row := range b.Mean {
		copy(grand[i*len(b.columns):], row)
	}
	for at, k := range m.draws {
		bouts := mat.NewDense(m.q.Bouts, size, nil)
		means := make([]float64, size)
		for i, plan := range b.rows {
			for j, reply := range b.columns {
				v, c := m.values(plan, reply, k, false), i*len(b.columns)+j
				means[c] = m.payoffs[at][plan][reply]
				for t := range m.q.Bouts {
					bouts.Set(t, c, payoff(v, t)-means[c])
				}
			}
		}
		for c := range means {
			means[c] -= grand[c]
		}
		spread.SymRankOne(spread, 1/(n-1), mat.NewVecDense(size, means))
		between.SymRankK(between, 1/(n*float64(m.q.Bouts)*float64(m.q.Bouts-1)), bouts.T())
	}
	between.ScaleSym(-1, between)
	between.AddSym(spread, between)
	return spread, between
}

// knower values choosing after learning the truth against the other's mixture.
func (m *matrix) knower(own, other int, at func(own, other int) int, mixture func(own, other int) float64, sign float64, b *board, spread, between *mat.SymDense) Worth {
	if own < 2 {
		return Worth{}
	}
	size := own * other
	contrast := mat.NewDense(own-1, size, nil)
	for i := 1; i < own; i++ {
		for j := range other {
			contrast.Set(i-1, at(i, j), sign*mixture(i, j))
			contrast.Set(i-1, at(0, j), -sign*mixture(0, j))
		}
	}
	d := &gathered{mean: make([]float64, own-1), draws: len(m.draws), spread: through(contrast, spread), between: through(contrast, between)}
	for i := range d.mean {
		for r := range b.Mean {
			for c, x := range b.Mean[r] {
				d.mean[i] += contrast.At(i, r*len(b.columns)+c) * x
			}
		}
	}
	var square mat.Dense
	square.Mul(d.spread, d.spread)
	return d.worth(d.between, math.Sqrt(2*mat.Trace(&square)/float64(d.draws-1)), m.q.Level)
}

// through is the covariance of contrasts.
func through(contrast *mat.Dense, cov *mat.SymDense) *mat.SymDense {
	var once, twice mat.Dense
	once.Mul(contrast, cov)
	twice.Mul(&once, contrast.T())
	n, _ := twice.Dims()
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			out.SetSym(i, j, (twice.At(i, j)+twice.At(j, i))/2)
		}
	}
	return out
}
