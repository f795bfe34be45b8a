package study

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/internal/infer"
)

// tell turns what was gathered into worths.
func (q *Next) tell(r *NextResult, d *gathered, k *knowns) (err error) {
	for o := range d.mean {
		r.Differences = append(r.Differences, Doubtful{Mean: d.mean[o], Simulation: math.Sqrt(d.spread.At(o, o) / float64(d.draws)), AllDoubt: math.Sqrt(max(d.between.At(o, o), 0))})
	}
	// The error of a covariance's trace between draws, for about normal draw means: 2·tr(S²)/(K-1).
	var square mat.Dense
	square.Mul(d.spread, d.spread)
	r.Everything = d.worth(d.between, math.Sqrt(2*mat.Trace(&square)/float64(d.draws-1)), q.Level)
	everything, _ := k.all(func(*column) bool { return true })
	explained, _ := d.fit.Explained(everything)
	if all := mat.Trace(d.between); all > 0 {
		r.Explained = mat.Trace(explained) / all
	}
	if r.AllTape, _, err = d.known(k, q.Level, func(c *column) bool { return c.doubt == fighter.Tape }); err != nil {
		return err
	}
	r.Tape = q.tapes(d, k)
	r.Groups, err = q.groups(d, k)
	return err
}

// groups values perfect knowledge of every group.
func (q *Next) groups(d *gathered, k *knowns) (out []GroupWorth, err error) {
	type name struct {
		whose int
		group string
	}
	var seen []name
	for i := range k.columns {
		if n := (name{k.columns[i].whose, k.columns[i].group}); !slices.Contains(seen, n) {
			seen = append(seen, n)
			g := GroupWorth{Group: n.group, Doubt: "tape"}
			if g.Worth, g.Figures, err = d.known(k, q.Level, func(c *column) bool { return c.whose == n.whose && c.group == n.group }); err != nil {
				return nil, err
			}
			if k.columns[i].doubt == fighter.Assumption {
				g.Doubt = "assumption"
			}
			if n.whose < 2 {
				g.Of = q.name(n.whose)
			}
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, func(a, b GroupWorth) int { return cmp.Compare(b.Gain, a.Gain) })
	return out, nil
}

func (q *Next) name(whose int) string { return []string{q.Fighter.ID, q.Opponent.ID}[whose] }

// tapes values more tape of every situation and of whole rounds.
func (q *Next) tapes(d *gathered, k *knowns) (out []TapeWorth) {
	for whose := range 2 {
		for z := range fighter.NumZones {
			found := q.stances(whose, z)
			for _, minutes := range q.Minutes {
				if len(found) == 0 {
					break
				}
				w := d.learn(k.learned(whose, func(f fighter.Figure) float64 { return q.Adds[whose][z][f] * minutes }), q.Level)
				for _, s := range found {
					out = append(out, TapeWorth{Of: q.name(whose), Zone: z.String(), Stance: s.stance, Minutes: minutes, Share: s.share, Worth: w})
				}
			}
		}
		for _, minutes := range q.Minutes {
			learned := k.learned(whose, func(f fighter.Figure) (n float64) {
				for z := range fighter.NumZones {
					n += q.Adds[whose][z][f] * minutes * q.Shares[whose][z]
				}
				return n
			})
			out = append(out, TapeWorth{Of: q.name(whose), Minutes: minutes, Share: 1, Worth: d.learn(learned, q.Level)})
		}
	}
	slices.SortStableFunc(out, func(a, b TapeWorth) int { return cmp.Compare(b.Gain/b.Minutes, a.Gain/a.Minutes) })
	return out
}

// standing is how much of a bout a situation takes in one stance.
type standing struct {
	stance string
	share  float64
}

// stances splits a zone on the feet by stance; what takes too little of a bout to be looked for is left out.
func (q *Next) stances(whose int, z fighter.Zone) (out []standing) {
	southpaw := q.Southpaw[whose][z]
	all := []standing{{"orthodox", q.Shares[whose][z] - southpaw}, {"southpaw", southpaw}}
	if z > fighter.Pocket {
		all = []standing{{"", q.Shares[whose][z]}}
	}
	for _, s := range all {
		if s.share >= leastShare {
			out = append(out, s)
		}
	}
	return out
}

func (d *gathered) learn(learned []float64, level float64) Worth {
	cov, se := d.fit.Explained(learned)
	return d.worth(cov, se, level)
}

// worthDraws are how often a worth's error is drawn: twenty beyond each bound at 95 %.
const worthDraws = 800

func (d *gathered) worth(cov *mat.SymDense, traceError, level float64) Worth {
	w := d.gain(cov, traceError, level)
	w.Variance, w.VarianceError = mat.Trace(cov), traceError
	return w
}

// gain is what it wins to learn what has this covariance, with an interval for the errors of the covariance (its trace is drawn, its shape
// kept) and of the means (normal).
func (d *gathered) gain(cov *mat.SymDense, traceError, level float64) Worth {
	if mat.Trace(d.spread) == 0 {
		return Worth{} // no bout went differently
	}
	gain, _ := infer.InformationGain(d.mean, cov)
	size, shape := mat.Trace(cov), cov
	if size <= 0 {
		shape = d.spread // nothing was seen of it: what its error leaves possible is taken to look like the whole
	}
	n := len(d.mean)
	src := rand.New(rand.NewPCG(0x776f7274, 0x68))
	var spread mat.Cholesky
	jitter := mat.NewSymDense(n, nil)
	jitter.CopySym(d.spread)
	for o := range n {
		jitter.SetSym(o, o, jitter.At(o, o)*(1+1e-9)+1e-300)
	}
	if !spread.Factorize(jitter) {
		return Worth{Gain: gain, Low: gain, High: gain}
	}
	var root mat.TriDense
	spread.LTo(&root)
	draws := worthDraws
	if n > 1 {
		draws /= 4 // each takes as long as thousands of one difference
	}
	values := make([]float64, draws)
	z, moved := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	scaled := mat.NewSymDense(n, nil)
	for i := range values {
		for o := range n {
			z.SetVec(o, src.NormFloat64()/math.Sqrt(float64(d.draws)))
		}
		moved.MulVec(&root, z)
		mean := make([]float64, n)
		for o := range mean {
			mean[o] = d.mean[o] + moved.AtVec(o)
		}
		scaled.ScaleSym(max(size+traceError*src.NormFloat64(), 0)/mat.Trace(shape), shape)
		values[i], _ = infer.InformationGain(mean, scaled)
	}
	c := infer.Central(values, level)
	return Worth{Gain: gain, Low: max(min(c.Low, gain), 0), High: max(c.High, gain)}
}
