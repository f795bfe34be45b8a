package fighter

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"gonum.org/v1/gonum/mat"

	"whatbout/sim/kernel"
)

// Pair is two fighters of whom some skills depend on each other. Without a Joint each is drawn from the own profile alone. Use
// [JoinPair] for profiles and joint parts that come from files: only it checks that they belong together. Do not change or copy a Pair
// once Draw was called; Draw may be called by many at once.
type Pair struct {
	Red, Blue *Profile
	Joint     *Joint // may be nil

	once    sync.Once
	factors []factor
}

// factor is a block of the pair's own figures, with the lower triangle L of its Cholesky factorisation, L·Lᵀ the covariance.
type factor struct {
	ids     []string
	figures []Figure
	mean    []float64
	lower   mat.TriDense
}

// marginTolerance is how far mean and standard deviation of a skill may lie apart between profile and joint part, in log-odds: both are
// written in full, so anything above the rounding of other programs means that one of them was changed.
const marginTolerance = 1e-6

// JoinPair makes a pair of two profiles and a joint part, which may be nil. The error tells which figures of a profile have another
// mean or standard deviation than in the joint part, and what to do about it.
func JoinPair(red, blue *Profile, joint *Joint) (*Pair, error) {
	if joint != nil {
		if err := errors.Join(checkMargins(red, joint), checkMargins(blue, joint)); err != nil {
			return nil, err
		}
	}
	return &Pair{Red: red, Blue: blue, Joint: joint}, nil
}

func checkMargins(p *Profile, joint *Joint) error {
	own := joint.Of(p.ID)
	if len(own.blocks) == 0 && p.JointFile != "" {
		return fmt.Errorf("the profile of %s names %s, which has no figure of that id: give the profile the id it had when both were written, or "+
			"take the line joint out of it", p.ID, p.JointFile)
	}
	var apart []string
	for _, b := range own.blocks {
		for i, name := range b.Names {
			_, f, _ := splitName(name)
			post, sd := p.Figures[f], math.Sqrt(b.Cov.At(i, i))
			if math.Abs(post.A-b.Mean[i]) > marginTolerance || math.Abs(post.B-sd) > marginTolerance {
				apart = append(apart, fmt.Sprintf("%s is %.7g ± %.7g in the profile and %.7g ± %.7g in the joint part",
					definitions[f].Name, post.A, post.B, b.Mean[i], sd))
			}
		}
	}
	if len(apart) == 0 {
		return nil
	}
	return fmt.Errorf("the profile of %s was edited or calibrated again after the joint part was written (%s): calibrate again, which writes "+
		"both, or take the line joint out of the profile, and its skills are drawn without those of the others", p.ID, strings.Join(apart, "; "))
}

// Draw gives draw k of both fighters. Figures that are not in the joint part, and all without one, are those of [Profile.Draw]. The
// others are mean + L·z, where z comes from the streams that Profile.Draw uses, one a figure, and L from the covariance of the pair's own
// figures in the order of their names; they keep 20 bits as all figures do. So:
//   - figures that depend on no other are those of Profile.Draw, to the bit;
//   - rows of third fighters in the joint part move nothing, and nor does who stands in which corner;
//   - a fighter's skills may differ from those against another opponent in the same draw, though not in distribution: among figures that
//     depend on each other, the first by name is the one that never moves.
func (p *Pair) Draw(seed, k uint64, assumptions bool) (red, blue Draw) {
	red, blue = p.Red.Draw(seed, k, assumptions), p.Blue.Draw(seed, k, assumptions)
	p.once.Do(p.factorise)
	for i := range p.factors {
		f := &p.factors[i]
		for n, x := range f.draw(seed, k) {
			if f.ids[n] == p.Red.ID {
				red.Set(f.figures[n], x)
			}
			if f.ids[n] == p.Blue.ID {
				blue.Set(f.figures[n], x)
			}
		}
	}
	return red, blue
}

func (p *Pair) factorise() {
	if p.Joint == nil {
		return
	}
	for _, b := range p.Joint.Of(p.Red.ID, p.Blue.ID).blocks {
		f := factor{mean: b.Mean}
		for _, name := range b.Names {
			id, figure, _ := splitName(name)
			f.ids, f.figures = append(f.ids, id), append(f.figures, figure)
		}
		var c mat.Cholesky
		if !c.Factorize(b.Cov) {
			panic("fighter: a block of a covariance that is positive definite is not")
		}
		c.LTo(&f.lower)
		p.factors = append(p.factors, f)
	}
}

func (f *factor) draw(seed, k uint64) []float64 {
	z, x := make([]float64, len(f.mean)), make([]float64, len(f.mean))
	for i, id := range f.ids {
		src := kernel.NewKey(seed, k, figureHash(id)).With(figureKeys[f.figures[i]]).Stream()
		z[i] = standardNormal(&src)
		sum := 0.0
		for j := range i + 1 {
			sum += float64(f.lower.At(i, j) * z[j])
		}
		x[i] = round(f.mean[i] + sum)
	}
	return x
}
