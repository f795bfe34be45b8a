package study

import (
	"math"
	"math/rand/v2"

	"whatbout/internal/infer"
)

// AdjustResult answers it. Everything is in shares of bouts won, half of what nobody wins included, as the fighter sees it, but for the opponent's
// own options, which are as the opponent sees them.
type AdjustResult struct {
	Draws, Bouts, Played int
	Met                  [][]Met        // by plan and reply
	Value                infer.Interval // of the game: what the fighter gets when both mix as well as they can
	Tried                [2]float64     // what both mixtures hold, tried on draws that they were not chosen on: bounds of the value on the average
	Usual                float64        // of the fighter's mixture against the opponent as usual
	Saddle               bool           // the best mixtures are one plan each
	Several              [2]bool        // many mixtures are exactly as good, of the fighter and of the opponent
	Luck                 float64        // standard deviation of one bout under the mixtures
	Tape, AllDoubt       infer.Spreading
	Yours, Theirs        []Option
	Knowing              Knowing
	Saved                float64 // bouts on independent luck that one of these is worth where plans are compared; 0: any number
	Partial              bool
}

// Met is what a plan gets against a reply.
type Met struct {
	Mean       float64         `json:"mean"`
	Simulation infer.Interval  `json:"simulation"`
	AllDoubt   infer.Spreading `json:"all_doubt"`
}

// Option is a plan of one side, with what it gets that side.
type Option struct {
	Name     string           `json:"name"`
	Intent   string           `json:"intent,omitempty"`
	Same     string           `json:"same_as,omitempty"` // an earlier plan with which every bout goes the same; it has no share of its own
	Barred   bool             `json:"barred"`            // by a price
	Prices   []Price          `json:"prices,omitempty"`
	Share    infer.ShareDoubt `json:"share"`  // in the best mixture
	As       infer.Range      `json:"as"`     // shares in mixtures that give away no more than the slack, the others following
	Usual    float64          `json:"usual"`  // against the other side as usual
	Floor    infer.Interval   `json:"floor"`  // against the reply that is worst for it
	Reply    string           `json:"reply"`  // that one
	Given    infer.Interval   `json:"given"`  // what playing it always gives away against the best mixture
	Beaten   string           `json:"beaten"` // by a plan that is nowhere worse, on average; "" if by none
	Told     bool             `json:"beaten_told"`
	InTruths float64          `json:"in_truths"` // share of possible truths in which the best mixture has it
	Alone    float64          `json:"alone_in_truths"`
	Truths   infer.Interval   `json:"truths"` // of its share over possible truths
}

// used reports whether a meeting has weight when both mix.
func (r *AdjustResult) used(plan, reply int) bool {
	return r.Yours[plan].Share.Share.Centre > 0 && r.Theirs[reply].Share.Share.Centre > 0
}

// alike maps every plan that is not barred to the first with which every draw goes the same, and lists the firsts.
func alike(barred []bool, same func(a, b int) bool) (first, kept []int) {
	first = make([]int, len(barred))
	for i := range first {
		first[i] = i
		if barred[i] {
			continue
		}
		for _, k := range kept {
			if same(k, i) {
				first[i] = k
				break
			}
		}
		if first[i] == i {
			kept = append(kept, i)
		}
	}
	return first, kept
}

func (m *matrix) sameRow(a, b int) bool {
	for _, pay := range m.payoffs {
		for j := range pay[a] {
			if pay[a][j] != pay[b][j] {
				return false
			}
		}
	}
	return true
}

func (m *matrix) sameColumn(a, b int) bool {
	for _, pay := range m.payoffs {
		for i := range pay {
			if pay[i][a] != pay[i][b] {
				return false
			}
		}
	}
	return true
}

// part is the matrix of some plans and replies.
func (m *matrix) part(rows, columns []int) (out [][][]float64) {
	for _, pay := range m.payoffs {
		one := grid[float64](len(rows), len(columns))
		for i, r := range rows {
			for j, c := range columns {
				one[i][j] = pay[r][c]
			}
		}
		out = append(out, one)
	}
	return out
}

// board is the game as it is solved: what is twice there or barred is left out.
type board struct {
	*infer.DrawnGame
	rows, columns           []int // into plans and replies
	firstRows, firstColumns []int
}

// solve bars what raises a price and solves what is left. A plan that would be used and may raise a price is barred too, and it is solved again.
func (m *matrix) solve(options []Option) (*board, error) {
	barred := make([]bool, len(options))
	for i := range options {
		barred[i] = !m.q.AcceptHarm && stands(options[i].Prices, Raises)
	}
	for {
		b := &board{}
		b.firstRows, b.rows = alike(barred, m.sameRow)
		b.firstColumns, b.columns = alike(make([]bool, len(m.q.Replies)), m.sameColumn)
		var err error
		if b.DrawnGame, err = infer.EstimateGame(m.part(b.rows, b.columns)); err != nil {
			return nil, err
		}
		again := false
		for n, i := range b.rows {
			if b.Row[n] > 0 && !m.q.AcceptHarm && stands(options[i].Prices, MayRaise) {
				barred[i], again = true, true
			}
		}
		if !again {
			for i := range options {
				options[i].Barred = barred[i]
			}
			return b, nil
		}
	}
}

func (m *matrix) result() (*AdjustResult, error) {
	r := &AdjustResult{Draws: len(m.draws), Bouts: m.q.Bouts, Met: grid[Met](len(m.q.Plans), len(m.q.Replies))}
	within := grid[float64](len(m.q.Plans), len(m.q.Replies))
	for i := range r.Met {
		for j := range r.Met[i] {
			groups := m.groups(i, j)
			c := infer.Split(groups)
			r.Met[i][j], within[i][j] = Met{c.Mean, c.Simulation(m.q.Level), infer.Spread(groups, m.q.Level)}, c.MSW
		}
	}
	_, rows := alike(make([]bool, len(m.q.Plans)), m.sameRow)
	_, columns := alike(make([]bool, len(m.q.Replies)), m.sameColumn)
	for i, p := range m.q.Plans {
		o := Option{Name: p.Name, Intent: p.Intent, Usual: r.Met[i][0].Mean}
		if i > 0 {
			o.Prices = m.prices(i, columns)
		}
		r.Yours = append(r.Yours, o)
	}
	for j, p := range m.q.Replies {
		r.Theirs = append(r.Theirs, Option{Name: p.Name, Intent: p.Intent, Usual: 1 - r.Met[0][j].Mean})
	}
	b, err := m.solve(r.Yours)
	if err != nil {
		return nil, err
	}
	if err := m.tell(r, b); err != nil {
		return nil, err
	}
	m.luck(r, within)
	r.AllDoubt = infer.Spread(m.mixed(r, false), m.q.Level)
	r.Saved = m.saved(rows, columns)
	return r, m.know(r, b)
}

// adjustResamples are enough for both ends of a share.
const adjustResamples = 400

// tell fills in what the game says of every option.
func (m *matrix) tell(r *AdjustResult, b *board) error {
	r.Value, r.Tried = b.Worth(m.q.Level)
	r.Saddle = b.Saddle
	shares, theirs := b.Shares(m.q.Level, adjustResamples, rand.NewPCG(0x61646a, 0x757374))
	all, err := infer.EstimateGame(m.part(upTo(len(r.Yours)), b.columns))
	if err != nil {
		return err
	}
	if r.Several[0], err = m.side(r.Yours, b.DrawnGame, all, b.rows, b.firstRows, r.Theirs, b.columns, shares); err != nil {
		return err
	}
	if r.Several[1], err = m.side(r.Theirs, b.Turned(), nil, b.columns, b.firstColumns, r.Yours, b.rows, theirs); err != nil {
		return err
	}
	for j := range r.Theirs {
		o := &r.Theirs[j]
		o.Floor.Low, o.Floor.High, o.Floor.Centre = 1+o.Floor.Low, 1+o.Floor.High, 1+o.Floor.Centre // payoffs of the two sum to one
	}
	for i := range r.Yours {
		r.Usual += r.Yours[i].Share.Share.Centre * r.Met[i][0].Mean
	}
	return nil
}

// side fills in one side's options from the game as that side sees it. all is the game with the options that are barred, where there are any.
func (m *matrix) side(options []Option, game, all *infer.DrawnGame, kept, first []int, others []Option, replies []int, shares []infer.ShareDoubt) (several bool, err error) {
	low, high := extremes(game.Mean)
	exact, err := infer.Nearly(game.Mean, game.Value-1e-6*(high-low))
	if err != nil {
		return false, err
	}
	within, err := infer.Nearly(game.Mean, game.Value-m.q.Slack)
	if err != nil {
		return false, err
	}
	for n, i := range kept {
		o := &options[i]
		o.Share, o.As, o.Floor, o.Given, o.Reply = shares[n], within[n], game.Floor(n, m.q.Level), game.Given(n, m.q.Level), others[replies[game.Reply(n)]].Name
		several = several || exact[n].Width() > .01
		for k, other := range kept {
			if by, told := game.Dominates(k, n, m.q.Level); k != n && by && (o.Beaten == "" || told && !o.Told) {
				o.Beaten, o.Told = options[other].Name, told
			}
		}
	}
	for i := range options {
		o := &options[i]
		switch {
		case first[i] != i:
			like := options[first[i]]
			o.Same, o.Floor, o.Given, o.Reply = like.Name, like.Floor, like.Given, like.Reply
		case o.Barred:
			o.Floor, o.Reply = all.Floor(i, m.q.Level), others[replies[all.Reply(i)]].Name
		}
	}
	return several, nil
}

func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func extremes(pay [][]float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, row := range pay {
		for _, x := range row {
			low, high = min(low, x), max(high, x)
		}
	}
	return low, high
}

// luck is what one bout varies by when both mix: within a meeting, and by which meeting it becomes.
func (m *matrix) luck(r *AdjustResult, within [][]float64) {
	mean, square := 0.0, 0.0
	for i := range r.Yours {
		for j := range r.Theirs {
			w := r.Yours[i].Share.Share.Centre * r.Theirs[j].Share.Share.Centre
			x := r.Met[i][j].Mean
			mean += w * x
			square += w * (within[i][j] + x*x)
		}
	}
	r.Luck = math.Sqrt(max(square-mean*mean, 0))
}

// saved is how many bouts on independent luck each bout is worth where a plan is held against as usual.
func (m *matrix) saved(rows, columns []int) float64 {
	var pairs []infer.Pairs
	for _, i := range rows[1:] {
		for _, j := range columns {
			for _, k := range m.draws {
				x, y := m.values(i, j, k, false), m.values(0, j, k, false)
				var p infer.Pairs
				for b := range x.Bouts() {
					p.Add(payoff(x, b), payoff(y, b))
				}
				pairs = append(pairs, p)
			}
		}
	}
	if len(pairs) == 0 {
		return 1
	}
	factor, _ := infer.PoolPairs(pairs).Saved()
	return factor
}
