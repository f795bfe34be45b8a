package study

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/internal/infer"
)

// Verdict is how a choice ended.
type Verdict string

// The verdicts.
const (
	Settled  Verdict = "settled"   // every other plan would give away more than the tolerance
	TooClose Verdict = "too close" // several plans of which none gives away more than the tolerance, as far as the simulation tells
	RanOut   Verdict = "ran out"   // of draws, before the tolerance
)

// ChoiceResult answers a choice. Values are in the value's unit per bout.
type ChoiceResult struct {
	Verdict   Verdict
	Leader    string   // the plan that gives least away
	AsGood    []string // plans that give away no more than the tolerance as far as the simulation tells and may not raise a price; the leader too
	Plans     []Contender
	Bound     float64 // on the simulation's part of the leader's expected loss
	Reached   bool
	Needed    int // draws of one plan that the tolerance would take, if it was not reached
	Looks     int
	Remaining Buys // what knowing the truth would win over taking the leader
	Tape      Buys // what knowing all that tape can show would win, assumptions at their centres
	Ledger    Ledger
	Work      Work
	Partial   bool
}

// Buys is an expected gain of knowing more, with its standard error.
type Buys struct {
	Gain     float64 `json:"gain"`
	Error    float64 `json:"se"`
	Resolved bool    `json:"resolved"` // false: the draws differ by no more than the luck of their bouts
	Plans    int     `json:"plans"`    // that were compared for it
	Draws    int     `json:"draws"`
}

// Work is what was played and what plainer ways would have taken, all in bouts.
type Work struct {
	Bouts    int `json:"bouts"`        // of the race
	Tape     int `json:"tape_bouts"`   // of tape's figures alone, as coded and with twice the tape
	Equal    int `json:"equal_shares"` // all plans as often as the one that was played most
	TwoStage int `json:"two_stage"`    // to pick a plan that leads by the tolerance with 95 %, unpaired (Rinott 1978), going by the spread seen
}

// Contender is a plan of a choice.
type Contender struct {
	Name        string     `json:"name"`
	Intent      string     `json:"intent,omitempty"`
	Draws       int        `json:"draws"`
	Value       float64    `json:"value"` // as usual's mean and the gain
	Gain        Gain       `json:"gain"`  // over as usual
	Barred      bool       `json:"barred"`
	Chance      float64    `json:"chance_best"` // of those not barred, over all doubt
	ChanceError float64    `json:"chance_best_se"`
	Loss        float64    `json:"expected_loss"` // over all doubt, against the best of those not barred
	LossError   float64    `json:"expected_loss_se"`
	Simulation  float64    `json:"expected_loss_simulation"` // the part that more bouts would take away
	Against     [2]float64 `json:"against_best"`             // value less the best of the others not barred, together with the level (multiple comparisons with the best)
	Prices      []Price    `json:"prices,omitempty"`         // of as usual none
	Frontier    bool       `json:"frontier"`                 // no other plan has as much gain for no more of every price, by the means
	BeatenBy    string     `json:"beaten_by,omitempty"`
}

// Gain is what a plan changes against as usual.
type Gain struct {
	Mean       float64         `json:"mean"`
	Simulation infer.Interval  `json:"simulation"` // such that those of all plans hold together, at whatever look the race stopped
	AllDoubt   infer.Spreading `json:"all_doubt"`
}

// result puts the race into a result; the draws of tape's figures alone are played here.
func (f *field) result(ctx context.Context, l *look, interruption error) (*ChoiceResult, error) {
	r := &ChoiceResult{Leader: f.q.Plans[l.Leader].Name, Bound: l.Total, Reached: l.Reached, Needed: l.Needed, Looks: l.looks, Verdict: Settled}
	f.contenders(r, l)
	frontier(r.Plans)
	for i := range r.Plans {
		if c := &r.Plans[i]; l.in[i] && (i == l.Leader || c.Simulation <= f.q.Tolerance && (f.q.AcceptHarm || !stands(c.Prices, MayRaise))) {
			r.AsGood = append(r.AsGood, c.Name)
		}
	}
	switch {
	case !l.Reached:
		r.Verdict = RanOut
	case len(r.AsGood) > 1:
		r.Verdict = TooClose
	}
	err := interruption
	if err == nil {
		err = f.tapePart(ctx, r, l)
	}
	f.work(r)
	return r, err
}

func (f *field) contenders(r *ChoiceResult, l *look) {
	for i, p := range f.q.Plans {
		all := f.gains(i, 0)
		c := infer.Split(all)
		r.Plans = append(r.Plans, Contender{Name: p.Name, Intent: p.Intent, Draws: len(f.rows[i]), Barred: !l.in[i], Prices: l.prices[i],
			Gain: Gain{c.Mean, c.Simulation(together(f.q.Level, l.looks, len(f.q.Plans)-1)), infer.Spread(all, f.q.Level)}, Value: mean(f.values[0]) + c.Mean})
	}
	members := f.members(l.in)
	if len(members) < 2 {
		r.Plans[members[0]].Chance = 1
		return
	}
	contest := infer.Contend(len(members), kept2(len(members), func(i, j int) []infer.Group { return f.gains(members[i], members[j]) }))
	low, high := f.againstBest(members, l.looks)
	for n, i := range members {
		c := &r.Plans[i]
		c.Chance, c.ChanceError, c.Loss, c.LossError, c.Simulation = contest.Chance[n], contest.ChanceError[n], contest.Loss[n], contest.LossError[n], contest.Simulation[n]
		c.Against = [2]float64{low[n], high[n]}
	}
	leader := &r.Plans[l.Leader]
	r.Remaining = Buys{Gain: max(leader.Loss-leader.Simulation, 0), Error: contest.RemainingError, Resolved: contest.Resolved, Plans: len(members), Draws: f.fewest(members)}
}

func mean(x []float64) (m float64) {
	for _, v := range x {
		m += v / float64(len(x))
	}
	return m
}

// members are the plans that may be chosen.
func (f *field) members(in []bool) (out []int) {
	for i, ok := range in {
		if ok {
			out = append(out, i)
		}
	}
	return out
}

func (f *field) fewest(members []int) int {
	n := math.MaxInt
	for _, i := range members {
		n = min(n, len(f.rows[i]))
	}
	return n
}

// kept2 keeps what a function of two gives, since a contest asks again and again.
func kept2(n int, of func(i, j int) []infer.Group) func(i, j int) []infer.Group {
	held := grid[[]infer.Group](n, n)
	return func(i, j int) []infer.Group {
		if held[i][j] == nil {
			held[i][j] = of(i, j)
		}
		return held[i][j]
	}
}

// together is the level of each interval so that all hold at whatever look the race stopped.
func together(level float64, looks, intervals int) float64 {
	return infer.Together(infer.AnyLook(level, looks), intervals)
}

// againstBest are the intervals of multiple comparisons with the best: paired, by Student's t with Bonferroni's level, which holds whatever the
// plans have in common.
func (f *field) againstBest(members []int, looks int) (low, high []float64) {
	n := len(members)
	level := together(f.q.Level, looks, n-1)
	pair := func(i, j int) infer.Components { return infer.Split(f.gains(members[i], members[j])) }
	diff, half := grid[float64](n, n), grid[float64](n, n)
	for i := range n {
		for j := range i {
			c := pair(i, j)
			t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(c.K - 1)}.Quantile(level)
			diff[i][j], diff[j][i] = c.Mean, -c.Mean
			half[i][j], half[j][i] = t*c.SE(), t*c.SE()
		}
	}
	return infer.Best(n, func(i, j int) float64 { return diff[i][j] }, func(i, j int) float64 { return half[i][j] })
}

// frontier marks the plans that no other beats in gain and every price at once. Of plans that are the same the first counts.
func frontier(plans []Contender) {
	for i := range plans {
		p := &plans[i]
		p.Frontier = true
		for j := range plans {
			if j != i && beats(&plans[j], p, j < i) {
				p.Frontier, p.BeatenBy = false, plans[j].Name
				break
			}
		}
	}
}

// beats reports whether a plan has at least as much gain for no more of every price, and more or less of one; earlier decides between equals.
func beats(a, b *Contender, earlier bool) bool {
	better := a.Gain.Mean > b.Gain.Mean
	if a.Gain.Mean < b.Gain.Mean {
		return false
	}
	for m := range prices {
		x, y := a.price(m), b.price(m)
		if x > y {
			return false
		}
		better = better || x < y
	}
	return better || earlier
}

// price is what a plan adds to a price.
func (c *Contender) price(m int) float64 {
	if c.Prices == nil {
		return 0
	}
	return c.Prices[m].Difference
}

// work counts bouts. Plans of the same content are played once.
func (f *field) work(r *ChoiceResult) {
	most := map[Key]int{}
	spread := map[Key]float64{}
	for i, p := range f.q.Plans {
		key := f.bank.keys.plans[p]
		most[key] = max(most[key], len(f.rows[i]))
		var g infer.Group
		for _, x := range f.values[i] {
			g.Add(x)
		}
		spread[key] = max(g.SumSq/g.N-g.Mean()*g.Mean(), 0) * g.N / (g.N - 1)
	}
	h := infer.Rinott(.95, max(len(most), 2), float64(f.q.First-1)) / f.q.Tolerance
	longest := 0
	for key, n := range most {
		r.Work.Bouts += n * f.q.Bouts
		longest = max(longest, n)
		r.Work.TwoStage += f.q.Bouts * max(f.q.First, int(math.Ceil(h*h*spread[key])))
	}
	r.Work.Equal = longest * len(most) * f.q.Bouts
	r.Work.Tape = f.tape * f.q.Bouts
}
