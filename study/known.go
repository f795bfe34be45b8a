package study

import (
	"math"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tape"
)

// column is one number that is in doubt, as a feature for regression.
type column struct {
	whose  int // 0 the fighter, 1 the opponent, 2 the mechanics
	figure fighter.Figure
	table  []fighter.Figure // of a weight: its table, whose share is meant; nil otherwise
	group  string
	doubt  fighter.Doubt
	worth  float64 // what stands behind it now, in the unit of what tape adds: seconds, decisions, precision; 0 for assumptions
	world  func(t *truth) float64
}

// knowns are all columns of a meeting.
type knowns struct{ columns []column }

// group names for people to read.
const (
	groupHow       = "how well plans are followed"
	groupMechanics = "the mechanics of a bout"
	groupBody      = "timing, power, chin, stamina"
	groupTrouble   = "what is done in trouble"
)

// known lists what is in doubt about both fighters and the mechanics: rates, shares of tables (all but the largest of each, since they sum to
// one), skills and belief, what stands alone, the mechanics and adherence. What is not in doubt is left out.
func (m *Meeting) known() *knowns {
	k := &knowns{}
	for whose, p := range []*fighter.Profile{m.Fighter, m.Opponent} {
		for z := range fighter.NumZones {
			for move := range tape.NumMoves {
				f := fighter.Initiate(z, move)
				if post := p.Figures[f]; post.A > 0 {
					k.add(column{whose: whose, figure: f, group: "what they begin " + where[z], worth: post.B})
				}
			}
		}
		for row := range fighter.ExchangeZones {
			z := fighter.Kicking + fighter.Zone(row)
			k.table(whose, p, movesOf(fighter.Answer, row), "what they answer with "+where[z], fighter.Tape)
			k.table(whose, p, movesOf(fighter.Continue, row), "what they follow up with "+where[z], fighter.Tape)
		}
		for t := range fighter.NumThreats {
			var table []fighter.Figure
			for r := range fighter.NumResponses {
				table = append(table, fighter.Defend(t, r))
			}
			k.table(whose, p, table, "how they defend", fighter.Tape)
		}
		for c := range fighter.NumCues {
			k.skill(whose, p, fighter.Bite(c), "what they believe")
			k.skill(whose, p, fighter.Sense(c), "what they believe")
		}
		for f := range fighter.NumFamilies {
			k.skill(whose, p, fighter.Attack(f), "how well they attack")
			k.skill(whose, p, fighter.Defence(f), "how well they are defended")
		}
		for f := fighter.Placed(0, 0); f < fighter.Alone(0); f++ {
			group := "what the fence, the centre and the stances make them do"
			if f >= fighter.Follows(fighter.AfterStep) {
				group = "after what they go on, and what they answer"
			}
			k.skill(whose, p, f, group) // a multiple is normal in its logarithm
		}
		k.assumptions(whose, p)
	}
	return k.mechanics()
}

func movesOf(of func(int, tape.Move) fighter.Figure, row int) (out []fighter.Figure) {
	for m := range tape.NumMoves {
		out = append(out, of(row, m))
	}
	return out
}

func (k *knowns) add(c column) { k.columns = append(k.columns, c) }

func (k *knowns) skill(whose int, p *fighter.Profile, f fighter.Figure, group string) {
	if post := p.Figures[f]; post.B > 0 {
		k.add(column{whose: whose, figure: f, group: group, worth: 1 / (post.B * post.B)})
	}
}

// table adds the shares of a table, all but the largest.
func (k *knowns) table(whose int, p *fighter.Profile, table []fighter.Figure, group string, doubt fighter.Doubt) {
	var own []fighter.Figure
	total, largest := 0.0, 0
	for _, f := range table {
		if p.Figures[f].A > 0 {
			own = append(own, f)
			total += p.Figures[f].A
			if p.Figures[f].A > p.Figures[own[largest]].A {
				largest = len(own) - 1
			}
		}
	}
	for i, f := range own {
		if i != largest {
			k.add(column{whose: whose, figure: f, table: own, group: group, doubt: doubt, worth: total})
		}
	}
}

func (k *knowns) assumptions(whose int, p *fighter.Profile) {
	var survive, hold []fighter.Figure
	for s := range fighter.NumSurvivals {
		survive = append(survive, fighter.Survive(s))
	}
	for h := range fighter.NumHolds {
		hold = append(hold, fighter.Holding(h))
	}
	k.table(whose, p, survive, groupTrouble, fighter.Assumption)
	k.table(whose, p, hold, groupTrouble, fighter.Assumption)
	for f := fighter.Alone(0); int(f) < fighter.NumFigures(); f++ {
		if p.Figures[f].B > 0 {
			k.add(column{whose: whose, figure: f, group: groupBody, doubt: fighter.Assumption})
		}
	}
}

func (k *knowns) mechanics() *knowns {
	for _, of := range []func(w *sim.World) float64{
		func(w *sim.World) float64 { return w.Measured }, func(w *sim.World) float64 { return w.Denied },
		func(w *sim.World) float64 { return w.Lunging }, func(w *sim.World) float64 { return w.Busy },
		func(w *sim.World) float64 { return w.Drawn }, func(w *sim.World) float64 { return w.Squared },
		func(w *sim.World) float64 { return w.Open }, func(w *sim.World) float64 { return w.JudgeNoise },
	} {
		k.add(column{whose: 2, group: groupMechanics, doubt: fighter.Assumption, world: func(t *truth) float64 { return of(&t.world) }})
	}
	k.add(column{whose: 2, group: groupHow, doubt: fighter.Assumption, world: func(t *truth) float64 { return t.coin }})
	return k
}

// of gives the columns' values in one truth.
func (k *knowns) of(t *truth) []float64 {
	out := make([]float64, len(k.columns))
	for i := range k.columns {
		c := &k.columns[i]
		d := t.red
		switch {
		case c.world != nil:
			out[i] = c.world(t)
			continue
		case c.whose == 1:
			d = t.blue
		}
		out[i] = d[c.figure]
		if c.table != nil {
			sum := 0.0
			for _, f := range c.table {
				sum += d[f]
			}
			out[i] /= sum
		}
	}
	return out
}

// learned gives, for every column, the share of its standard deviation that is learned from data that add so much to each figure of one
// fighter: √(n/(n+n₀)), which for a mean of gamma, Dirichlet and normal posteriors is exact.
func (k *knowns) learned(whose int, adds func(fighter.Figure) float64) []float64 {
	out := make([]float64, len(k.columns))
	for i := range k.columns {
		if c := &k.columns[i]; c.whose == whose && c.doubt == fighter.Tape && c.worth > 0 {
			n := adds(c.figure)
			out[i] = math.Sqrt(n / (n + c.worth))
		}
	}
	return out
}

// all gives 1 for the columns that are chosen and 0 for the others, and how many there are.
func (k *knowns) all(chosen func(c *column) bool) (learned []float64, n int) {
	learned = make([]float64, len(k.columns))
	for i := range k.columns {
		if chosen(&k.columns[i]) {
			learned[i] = 1
			n++
		}
	}
	return learned, n
}
