package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim/batch"
	"whatbout/tactics"
)

// Next asks what tape to code next to choose better between plans, by the value of information: what will be known is worth what it wins,
// on the average over what it may turn out to be, by choosing after instead of before. Means and doubts are those of many draws with few
// bouts each; how the differences between plans hang on the figures is a linear regression over the draws ([infer.Regression]). A group that is
// known for certain is regressed alone, so that what hangs together with it is known with it.
//
// Everything is in the value's unit per bout: shares of bouts, if wins count.
type Next struct {
	Meeting
	Plans        []*tactics.Plan // to choose from, at least 2; each is compared with the first
	OpponentPlan *tactics.Plan   // nil: as usual
	Value        *Value          // what counts; nil: bouts won
	Draws        int             // at least 2·figures+2: 2000 to 20000 are sensible
	Bouts        int             // a draw and plan, at least 2; few, since many draws tell more
	Level        float64         // of every interval
	// Adds holds, by fighter (0 fighter, 1 opponent), zone and figure, what a minute of tape with that fighter in that zone adds: free seconds to
	// a rate, decisions to a table of weights, precision to a skill. Shares is how a bout's time splits between zones, Southpaw how much of a bout
	// the fighter stands there in southpaw. A profile has one set of figures for both stances, so that a minute of either adds the same; what differs
	// is how long it takes to find.
	Adds     [2][fighter.NumZones][]float64
	Shares   [2][fighter.NumZones]float64
	Southpaw [2][fighter.NumZones]float64
	Minutes  []float64 // amounts of tape to look at, of a situation and of whole rounds
	Store    Store
	Workers  int
	Progress func(done, of int)
}

// Worth is a value of information in the unit of what counts (shares of bouts, if wins do), with an interval for the error of the simulation.
type Worth struct {
	Gain float64 `json:"gain"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	// Variance is what is learned of the differences between plans, summed over them, with its standard error; it may come out negative.
	Variance, VarianceError float64 `json:"-"`
}

// GroupWorth is what it would be worth to know a group of figures for certain.
type GroupWorth struct {
	Group   string `json:"group"`
	Of      string `json:"of,omitempty"` // the fighter
	Doubt   string `json:"doubt"`        // tape or assumption
	Figures int    `json:"figures"`
	Worth
}

// TapeWorth is what more tape of one kind is worth.
type TapeWorth struct {
	Of      string  `json:"of"`
	Zone    string  `json:"zone"` // "" for whole rounds
	Stance  string  `json:"stance,omitempty"`
	Minutes float64 `json:"minutes"` // of tape in that situation
	Share   float64 `json:"share"`   // of a bout that the situation takes
	Worth
}

// NextResult answers it.
type NextResult struct {
	Draws, Bouts, Played int
	Means                []float64 // value by plan
	Differences          []Doubtful
	Everything           Worth        // perfect information of all that is in doubt
	AllTape              Worth        // of all that tape can show
	Explained            float64      // share of the differences' variance between draws that the regression explains; its noise may put it outside 0 to 1
	Groups               []GroupWorth // most valuable first
	Tape                 []TapeWorth  // by minute of tape, most valuable first
	Saved                float64      // bouts on luck of their own that one of these is worth for the differences between plans; 0: any number
	Partial              bool
}

// Doubtful is a plan's difference from the first, with the standard error of the simulation and the standard deviation of all doubt.
type Doubtful struct {
	Mean       float64 `json:"mean"`
	Simulation float64 `json:"simulation_error"`
	AllDoubt   float64 `json:"all_doubt_sd"`
}

// leastShare is how much of a bout a situation must take to be offered.
const leastShare = .02

// Run plays and answers. Interrupted, it says what the draws that were finished tell, if they are enough.
func (q *Next) Run(ctx context.Context) (*NextResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	bank, err := NewBank(q.Meeting, append([]*tactics.Plan{q.OpponentPlan}, q.Plans...)...)
	if err != nil {
		return nil, err
	}
	bank.Store, bank.Workers, bank.Progress = q.Store, q.Workers, q.Progress
	var cells []Cell
	for k := range q.Draws {
		for _, p := range q.Plans {
			cells = append(cells, q.cell(p, k))
		}
	}
	played := bank.Play(ctx, cells)
	if played != nil && !interrupted(played) {
		return nil, played
	}
	known := q.known()
	var draws []int
	for k := range q.Draws {
		if !slices.ContainsFunc(q.Plans, func(p *tactics.Plan) bool { return !bank.Holds(q.cell(p, k)) }) {
			draws = append(draws, k)
		}
	}
	if len(draws) < 2*len(known.columns)+2 {
		return nil, errors.Join(fmt.Errorf("%d draws are too few to tell %d figures apart; expected at least %d", len(draws), len(known.columns), 2*len(known.columns)+2), played)
	}
	d, err := q.gather(bank, known, draws)
	if err != nil {
		return nil, err
	}
	r := &NextResult{Draws: len(draws), Bouts: q.Bouts, Played: len(draws) * len(q.Plans) * q.Bouts, Means: d.means, Saved: d.saved, Partial: played != nil}
	if err := q.tell(r, d, known); err != nil {
		return nil, err
	}
	return r, played
}

func (q *Next) check() error {
	if q.Value == nil {
		q.Value = &Value{Text: "win", Terms: []Term{{winMeasure, 1}}}
	}
	switch {
	case len(q.Plans) < 2:
		return errors.New("one plan leaves nothing to choose; name another")
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("expected at least 4 draws of 2 bouts")
	case !(q.Level > .5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	}
	return nil
}

func (q *Next) cell(p *tactics.Plan, k int) Cell {
	return Cell{Plan: p, Reply: q.OpponentPlan, Draw: k, Bouts: q.Bouts}
}

// gathered is what was played, ready to be regressed.
type gathered struct {
	means   []float64
	mean    []float64     // differences from the first plan
	spread  *mat.SymDense // of their draw means
	between *mat.SymDense // of what draws expect of them: what luck within draws adds is taken off
	fit     *infer.Regression
	draws   int
	saved   float64

	features, outcomes *mat.Dense // by draw
}

// gather sums up the played draws and regresses the differences on the figures.
func (q *Next) gather(bank *Bank, known *knowns, draws []int) (*gathered, error) {
	options, n := len(q.Plans)-1, float64(len(draws))
	features, outcomes := mat.NewDense(len(draws), len(known.columns), nil), mat.NewDense(len(draws), options, nil)
	within, spread := mat.NewSymDense(options, nil), mat.NewSymDense(options, nil)
	d := &gathered{means: make([]float64, len(q.Plans)), mean: make([]float64, options), draws: len(draws)}
	var pairs []infer.Pairs
	for row, k := range draws {
		groups := make([]Values, len(q.Plans))
		for p, plan := range q.Plans {
			groups[p] = bank.Values(q.cell(plan, k))
			for i := range q.Bouts {
				d.means[p] += q.Value.Of(groups[p], i) / n / float64(q.Bouts)
			}
		}
		outcomes.SetRow(row, q.differ(groups, within, n))
		for p := range options {
			pairs = append(pairs, infer.Pairs{})
			for i := range q.Bouts {
				pairs[len(pairs)-1].Add(q.Value.Of(groups[p+1], i), q.Value.Of(groups[0], i))
			}
		}
	}
	d.saved, _ = infer.PoolPairs(pairs).Saved()
	pair := q.pair()
	if err := batch.Run(context.Background(), len(draws), q.Workers, func(_, row int) error {
		t := draw(pair, q.Seed, uint64(draws[row]), true)
		features.SetRow(row, known.of(&t))
		return nil
	}, nil); err != nil {
		return nil, err
	}
	for o := range options {
		for row := range draws {
			d.mean[o] += outcomes.At(row, o) / n
		}
	}
	for row := range draws {
		for o := range options {
			for u := o; u < options; u++ {
				spread.SetSym(o, u, spread.At(o, u)+(outcomes.At(row, o)-d.mean[o])*(outcomes.At(row, u)-d.mean[u])/(n-1))
			}
		}
	}
	d.spread, d.between = spread, mat.NewSymDense(options, nil)
	for o := range options {
		for u := o; u < options; u++ {
			d.between.SetSym(o, u, spread.At(o, u)-within.At(o, u))
		}
	}
	var err error
	d.features, d.outcomes = features, outcomes
	d.fit, err = infer.Regress(features, outcomes)
	return d, err
}

// known values knowing the chosen columns for certain, by regression on them alone.
func (d *gathered) known(k *knowns, level float64, chosen func(c *column) bool) (w Worth, figures int, err error) {
	var at []int
	for i := range k.columns {
		if chosen(&k.columns[i]) {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return w, 0, nil
	}
	own, all := mat.NewDense(d.draws, len(at), nil), make([]float64, len(at))
	for n, i := range at {
		all[n] = 1
		own.SetCol(n, mat.Col(nil, i, d.features))
	}
	fit, err := infer.Regress(own, d.outcomes)
	if err != nil {
		return w, 0, err
	}
	cov, se := fit.Explained(all)
	return d.worth(cov, se, level), len(at), nil
}

// differ gives a draw's mean differences from the first plan, and adds to within what luck alone gives their covariance.
func (q *Next) differ(groups []Values, within *mat.SymDense, draws float64) []float64 {
	options, bouts := len(groups)-1, float64(q.Bouts)
	diffs := make([][]float64, options)
	means := make([]float64, options)
	for o := range diffs {
		diffs[o] = make([]float64, q.Bouts)
		for i := range q.Bouts {
			diffs[o][i] = q.Value.Of(groups[o+1], i) - q.Value.Of(groups[0], i)
			means[o] += diffs[o][i] / bouts
		}
	}
	for o := range diffs {
		for u := o; u < options; u++ {
			sum := 0.0
			for i := range q.Bouts {
				sum += (diffs[o][i] - means[o]) * (diffs[u][i] - means[u])
			}
			within.SetSym(o, u, within.At(o, u)+sum/(bouts-1)/bouts/draws)
		}
	}
	return means
}
