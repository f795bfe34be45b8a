package fighter

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// Joint keeps how the skills of people who met depend on each other: who beat a strong opponent is strong. It stands beside the
// profiles, which hold each figure's own mean and standard deviation. Blocks are independent of one another. A Joint comes from
// [NewJoint] or [ReadJoint] and does not change; blocks, and figures in them, stand in the order of their names.
type Joint struct{ blocks []Block }

// Block is a set of skills that are normal together.
type Block struct {
	Name  string        // such as the family of acts
	Names []string      // "<fighter id>.<figure name>", of figures whose law is [Skill]
	Mean  []float64     // log-odds, -10 to 10
	Cov   *mat.SymDense // positive definite; standard deviations from 1e-3 to 10
}

const (
	mostSkill                   = 10.0
	leastVariance, mostVariance = leastSpread * leastSpread, mostSpread * mostSpread
	// mostCondition is how far a covariance may be from singular before the last bits decide whether it is positive definite. Standard
	// deviations a thousandfold apart alone give 1e6.
	mostCondition = 1e12
)

// NewJoint makes a joint part of blocks, in any order, which it copies. The error tells everything that is wrong with them: a size that
// does not fit, a name that is no skill of a fighter or stands twice, a number out of range, a covariance that is not positive definite.
func NewJoint(blocks []Block) (*Joint, error) {
	var errs []error
	var sorted []Block
	for _, b := range blocks {
		if size := len(b.Names); size == 0 || len(b.Mean) != size || b.Cov == nil || b.Cov.SymmetricDim() != size {
			errs = append(errs, fmt.Errorf("block %q: names, means and covariance are not of one size above 0", b.Name))
			continue
		}
		for _, w := range b.wrongs() {
			errs = append(errs, fmt.Errorf("block %q: %s: %s", b.Name, b.Names[w.row], w.what))
		}
		sorted = append(sorted, b.sorted())
	}
	for _, name := range repeated(sorted) {
		errs = append(errs, fmt.Errorf("%s stands twice", name))
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	slices.SortFunc(sorted, func(a, b Block) int { return cmp.Compare(a.Name, b.Name) })
	return &Joint{sorted}, nil
}

// Blocks gives a copy of the blocks.
func (j *Joint) Blocks() []Block {
	var out []Block
	for _, b := range j.blocks {
		out = append(out, b.sorted())
	}
	return out
}

// Of gives the joint distribution of those fighters' figures alone. For normal figures that means leaving out the rows and columns of all
// others; blocks of which nothing is left are left out.
func (j *Joint) Of(ids ...string) *Joint {
	out := &Joint{}
	for _, b := range j.blocks {
		var keep []int
		for i, name := range b.Names {
			if id, _, _ := splitName(name); slices.Contains(ids, id) {
				keep = append(keep, i)
			}
		}
		if len(keep) > 0 {
			out.blocks = append(out.blocks, b.pick(keep))
		}
	}
	return out
}

// splitName takes a name apart. Ids may hold points too; no figure's name is the end of another's behind a point.
func splitName(name string) (id string, f Figure, ok bool) {
	for i := range name {
		if i > 0 && name[i] == '.' {
			if f, ok := Named(name[i+1:]); ok {
				return name[:i], f, true
			}
		}
	}
	return "", 0, false
}

// repeated gives the names of blocks and figures that stand more than once, sorted.
func repeated(blocks []Block) []string {
	count := map[string]int{}
	for _, b := range blocks {
		count["block "+b.Name]++
		for _, name := range b.Names {
			count[name]++
		}
	}
	maps.DeleteFunc(count, func(_ string, n int) bool { return n < 2 })
	return slices.Sorted(maps.Keys(count))
}

// sorted copies the block in the order of its names.
func (b Block) sorted() Block {
	order := make([]int, len(b.Names))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(b.Names[i], b.Names[k]) })
	return b.pick(order)
}

// pick copies the block with those rows and columns, in that order.
func (b Block) pick(rows []int) Block {
	out := Block{Name: b.Name, Cov: mat.NewSymDense(len(rows), nil)}
	for i, row := range rows {
		out.Names = append(out.Names, b.Names[row])
		out.Mean = append(out.Mean, b.Mean[row])
		for k, column := range rows[:i+1] {
			out.Cov.SetSym(i, k, b.Cov.At(row, column))
		}
	}
	return out
}

// wrong is one thing wrong with a row of a block.
type wrong struct {
	row  int
	what string
}

// wrongs checks a block whose sizes fit, but not that names stand once.
func (b Block) wrongs() []wrong {
	var out []wrong
	for i, name := range b.Names {
		if what := wrongName(name); what != "" {
			out = append(out, wrong{i, what})
		}
		if !(math.Abs(b.Mean[i]) <= mostSkill) {
			out = append(out, wrong{i, fmt.Sprintf("a mean of %v where -10 to 10 was expected", b.Mean[i])})
		}
		if v := b.Cov.At(i, i); !(v >= leastVariance && v <= mostVariance) {
			out = append(out, wrong{i, fmt.Sprintf("a variance of %v where %v to %v was expected", v, leastVariance, mostVariance)})
		}
	}
	if len(out) > 0 {
		return out
	}
	if row := b.firstDependent(); row >= 0 {
		return []wrong{{row, "the covariance up to this row is not positive definite, or too nearly not: no skills can vary together like this"}}
	}
	return nil
}

func wrongName(name string) string {
	_, f, ok := splitName(name)
	switch {
	case !ok:
		return strings.TrimSuffix("is no fighter's id and figure; "+skillHint(name), "; ")
	case definitions[f].Law != Skill:
		return "is not a skill in log-odds, and only those are jointly normal"
	}
	return ""
}

// firstDependent gives the first row up to which the covariance is not positive definite, -1 if it is throughout.
func (b Block) firstDependent() int {
	if positiveDefinite(b.Cov) {
		return -1
	}
	return sort.Search(len(b.Names)-1, func(i int) bool { return !positiveDefinite(b.Cov.SliceSym(0, i+1)) })
}

func positiveDefinite(cov mat.Symmetric) bool {
	var c mat.Cholesky
	return c.Factorize(cov) && c.Cond() <= mostCondition
}
