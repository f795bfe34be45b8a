package infer

import "math"

// DrawnGame is a game whose payoffs are means over draws, so that mixtures are chosen on the same noisy payoffs that their worth would be read
// from: the winner's curse. What it says of worths therefore comes from cross-fitting: mixtures and replies are chosen without a tenth of the
// draws and tried on that tenth, in turn (Mak, Morton & Wood 1999, Oper. Res. Lett. 24, 47–56, bound an optimum like that from both sides).
// The average of the mixtures chosen is a mixture too, so that what it gets in truth against its worst reply bounds the value from below, and
// the same of the other side from above, whatever ties there are.
type DrawnGame struct {
	Game                 // solved on the mean payoffs
	Mean   [][]float64   // row, column
	draws  [][][]float64 // draw, row, column
	others []*trained    // by fold: what was chosen without it
}

// trained is what all draws but a fold say.
type trained struct {
	Game
	mean [][]float64
}

const gameFolds = 10

// fewestGameDraws leaves two draws a fold.
const fewestGameDraws = 2 * gameFolds

// EstimateGame solves the game of draws[draw][row][column] on their means, and without each fold. There must be 20 draws.
func EstimateGame(draws [][][]float64) (*DrawnGame, error) {
	if len(draws) < fewestGameDraws {
		panic("infer: a drawn game needs 20 draws")
	}
	d := &DrawnGame{Mean: meanPayoffs(draws, upTo(len(draws))), draws: draws}
	var err error
	if d.Game, err = SolveGame(d.Mean); err != nil {
		return nil, err
	}
	for f := range gameFolds {
		var rest []int
		for k := range draws {
			if d.fold(k) != f {
				rest = append(rest, k)
			}
		}
		t := &trained{mean: meanPayoffs(draws, rest)}
		if t.Game, err = SolveGame(t.mean); err != nil {
			return nil, err
		}
		d.others = append(d.others, t)
	}
	return d, nil
}

func (d *DrawnGame) fold(draw int) int { return draw * gameFolds / len(d.draws) }

// without is what was chosen without a draw.
func (d *DrawnGame) without(draw int) *trained { return d.others[d.fold(draw)] }

// Turned is the same game seen by the column player, whose payoffs are the opposite.
func (d *DrawnGame) Turned() *DrawnGame {
	out := &DrawnGame{Game: d.Game.turned(), Mean: turned(d.Mean)}
	for _, pay := range d.draws {
		out.draws = append(out.draws, turned(pay))
	}
	for _, t := range d.others {
		out.others = append(out.others, &trained{t.Game.turned(), turned(t.mean)})
	}
	return out
}

func (g Game) turned() Game {
	g.Value, g.Row, g.Column = 0-g.Value, g.Column, g.Row
	return g
}

func turned(pay [][]float64) [][]float64 {
	out := make([][]float64, len(pay[0]))
	for j := range out {
		for i := range pay {
			out[j] = append(out[j], 0-pay[i][j])
		}
	}
	return out
}

// meanPayoffs averages the picked draws.
func meanPayoffs(draws [][][]float64, pick []int) [][]float64 {
	out := make([][]float64, len(draws[0]))
	for i := range out {
		out[i] = make([]float64, len(draws[0][i]))
		for _, k := range pick {
			for j, x := range draws[k][i] {
				out[i][j] += x
			}
		}
		for j := range out[i] {
			out[i][j] /= float64(len(pick))
		}
	}
	return out
}

// tried is the mean over draws of what was chosen without them, with how far up or down it may be off at the level.
func (d *DrawnGame) tried(of func(draw int, t *trained) float64, level float64) (mean, half float64) {
	var g Group
	for k := range d.draws {
		g.Add(of(k, d.without(k)))
	}
	df := g.N - 1
	return g.Mean(), studentQuantile(level, df) * math.Sqrt(g.squares()/df/g.N)
}

// gets is what a mixture of rows gets against a reply in a draw.
func (d *DrawnGame) gets(draw, reply int, row []float64) float64 {
	return Against(d.draws[draw], row, reply)
}

// gives is what a plan gets against a mixture of columns in a draw.
func (d *DrawnGame) gives(draw, plan int, column []float64) (sum float64) {
	for j, w := range column {
		if w != 0 {
			sum += w * d.draws[draw][plan][j]
		}
	}
	return sum
}

// Worth is the interval of the game's value: at least what the row player's mixtures get against the reply that may be worst for them, at most
// what may be got against the column player's. It holds the value with at least the level where the bounds are about normal. Tried are the two
// means in it: lower and upper bounds of the value on the average.
func (d *DrawnGame) Worth(level float64) (i Interval, tried [2]float64) {
	i = d.interval(level)
	i.Low, i.High, tried = math.Inf(1), math.Inf(-1), [2]float64{math.Inf(1), math.Inf(-1)}
	for j := range d.Mean[0] {
		mean, half := d.tried(func(k int, t *trained) float64 { return d.gets(k, j, t.Row) }, level)
		i.Low, tried[0] = min(i.Low, mean-half), min(tried[0], mean)
	}
	for r := range d.Mean {
		mean, half := d.tried(func(k int, t *trained) float64 { return d.gives(k, r, t.Column) }, level)
		i.High, tried[1] = max(i.High, mean+half), max(tried[1], mean)
	}
	i.Low, i.High = min(i.Low, i.Centre), max(i.High, i.Centre)
	return i, tried
}

func (d *DrawnGame) interval(level float64) Interval {
	i := Interval{Level: level, Centre: d.Value, Kind: Confidence, Method: "Student t of draws, cross-fitted on both sides", Count: float64(len(d.draws))}
	if len(d.draws) < fewDraws {
		i.warn("only %d draws: skewed draws may miss the level", len(d.draws))
	}
	return i
}

// Reply is the first reply that holds a plan lowest on the mean payoffs.
func (d *DrawnGame) Reply(plan int) int {
	_, reply := Guarantee(d.Mean, unit(len(d.Mean), plan))
	return reply
}

// Floor is the interval of what a plan gets that is played always and known: its payoff against the reply that is worst for it.
func (d *DrawnGame) Floor(plan int, level float64) Interval {
	i := d.interval(level)
	i.Centre = d.Mean[plan][d.Reply(plan)]
	mean, half := d.tried(func(k int, t *trained) float64 { return d.draws[k][plan][t.worst(plan)] }, level)
	i.Low, i.High = i.Centre, max(mean+half, i.Centre)
	for j := range d.Mean[0] {
		mean, half := d.tried(func(k int, _ *trained) float64 { return d.draws[k][plan][j] }, level)
		i.Low = min(i.Low, mean-half)
	}
	return i
}

func (t *trained) worst(plan int) int {
	_, reply := Guarantee(t.mean, unit(len(t.mean), plan))
	return reply
}

// Given is the interval of how far a plan can be exploited: the value less its floor, from 0, on the same draws.
func (d *DrawnGame) Given(plan int, level float64) Interval {
	i := d.interval(level)
	i.Centre = max(d.Value-d.Mean[plan][d.Reply(plan)], 0)
	i.Low, i.High = i.Centre, i.Centre
	for j := range d.Mean[0] {
		mean, half := d.tried(func(k int, t *trained) float64 { return d.gets(k, j, t.Row) - d.draws[k][plan][t.worst(plan)] }, level)
		i.Low = min(i.Low, mean-half)
		for r := range d.Mean {
			mean, half := d.tried(func(k int, t *trained) float64 { return d.gives(k, r, t.Column) - d.draws[k][plan][j] }, level)
			i.High = max(i.High, mean+half)
		}
	}
	i.Low = max(i.Low, 0)
	return i
}

// Dominates reports whether a plan is nowhere worse than another by the means, and somewhere better, or the same and the first of the two; told,
// whether it is told to be better against every reply. Each reply is tested alone at the level, one-sided: that all are passed is as sure as one
// (an intersection-union test; Berger 1982, Technometrics 24, 295–300).
func (d *DrawnGame) Dominates(plan, other int, level float64) (by, told bool) {
	told = true
	better := plan < other
	for j := range d.Mean[plan] {
		switch x, y := d.Mean[plan][j], d.Mean[other][j]; {
		case x < y:
			return false, false
		case x > y:
			better = true
		}
		mean, half := d.tried(func(k int, _ *trained) float64 { return d.draws[k][plan][j] - d.draws[k][other][j] }, 2*level-1)
		told = told && mean-half > 0
	}
	return better, told
}
