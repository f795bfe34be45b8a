package sim

import (
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

const (
	red  = tape.RedCorner
	blue = tape.BlueCorner
)

// is something that holds of an event.
type is func(e *tape.Event) bool

func allOf(of ...is) is {
	return func(e *tape.Event) bool {
		for _, x := range of {
			if !x(e) {
				return false
			}
		}
		return true
	}
}

func not(x is) is { return func(e *tape.Event) bool { return !x(e) } }

func by(c tape.Corner, acts ...tape.Act) is {
	return func(e *tape.Event) bool { return e.Corner == c && slices.Contains(acts, e.Act) }
}

func at(values ...tape.Value) is {
	return func(e *tape.Event) bool { return slices.Contains(values, e.Value) }
}

func strikes(e *tape.Event) bool { return e.Act.IsStrike() && e.Act != tape.GroundStrike }
func clean(e *tape.Event) bool   { return e.Result.IsClean() }
func taken(e *tape.Event) bool   { return e.Result == tape.TakenDown }
func made(e *tape.Event) bool    { return e.Result == tape.Made }
func set(e *tape.Event) bool     { return e.How == tape.Set }
func of(c tape.Corner) is        { return func(e *tape.Event) bool { return e.Corner == c } }

// number counts the events of a kind in a bout.
func number(kind is) figure {
	return func(b *Bout, _ *Outcome) float64 {
		n := 0.0
		for i := range b.Events {
			if kind(&b.Events[i]) {
				n++
			}
		}
		return n
	}
}

// share is the share of a kind's events that something holds for.
func share(kind, holds is) figure {
	return func(b *Bout, _ *Outcome) float64 {
		n, k := 0.0, 0.0
		for i := range b.Events {
			if e := &b.Events[i]; kind(e) {
				n++
				if holds(e) {
					k++
				}
			}
		}
		return k / n
	}
}

var (
	straights = []tape.Act{tape.Jab, tape.Cross}
	loops     = []tape.Act{tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut}
)

// never is longer than a round, µs.
const never = int64(1e12)

// follow is the share of a kind's events, within some time after an event of another kind, that something holds for.
func follow(kind, first is, within int64, holds is) figure {
	return func(b *Bout, _ *Outcome) float64 {
		n, k, since, round := 0.0, 0.0, int64(0), uint8(0)
		for i := range b.Events {
			e := &b.Events[i]
			if e.Round != round {
				round, since = e.Round, -never
			}
			if kind(e) && e.Clock-since <= within {
				n++
				if holds(e) {
					k++
				}
			}
			if first(e) {
				since = e.Clock
			}
		}
		return k / n
	}
}

func thrown(c tape.Corner) figure { return number(allOf(of(c), strikes)) }

// headClean is the share of a corner's standing strikes to the head that land clean.
func headClean(c tape.Corner) figure { return share(allOf(of(c), strikes, at(tape.Head)), clean) }

func legs(c int) figure { return func(b *Bout, _ *Outcome) float64 { return float64(b.men[c].legs) } }
func stamina(c int) figure {
	return func(b *Bout, _ *Outcome) float64 { return float64(b.men[c].stamina) / fullTank }
}
func fence(c int) figure {
	return func(_ *Bout, o *Outcome) float64 { return float64(o.Sides[c].Fence) / 1e6 }
}
func centre(c int) figure {
	return func(_ *Bout, o *Outcome) float64 { return float64(o.Sides[c].Centre) / 1e6 }
}

// bitten is the share of a corner's feints that the other bit on.
func bitten(c int) figure {
	return func(_ *Bout, o *Outcome) float64 { return float64(o.Sides[c].Bitten) / float64(o.Sides[c].Feints) }
}

func stepsIn(_ *Bout, o *Outcome) float64      { return float64(o.Sides[0].StepsIn) }
func inClinch(_ *Bout, o *Outcome) float64     { return float64(o.Sides[0].Zone[fighter.Clinch]) / 1e6 }
func headAbsorbed(_ *Bout, o *Outcome) float64 { return float64(o.Sides[1].HeadClean) }
func stepsBack(_ *Bout, o *Outcome) float64    { return float64(o.Sides[0].StepsBack) }

// nearTime is the share of free standing time at punching range.
func nearTime(_ *Bout, o *Outcome) float64 {
	z := &o.Sides[0].Zone
	near := z[fighter.Long] + z[fighter.Pocket]
	return float64(near) / float64(max(near+z[fighter.Kicking]+z[fighter.Out], 1))
}

func plan(rules ...tactics.Rule) *tactics.Plan { return &tactics.Plan{Name: "test", Rules: rules} }

// more is a rule that multiplies some alternatives of a point.
func more(at tactics.Point, by float64, what ...string) tactics.Rule {
	r := tactics.Rule{At: at}
	for _, w := range what {
		r.Multiples = append(r.Multiples, tactics.Multiple{What: w, By: by})
	}
	return r
}

// when gives a rule a condition more.
func when(r tactics.Rule, f tactics.Fact, values ...string) tactics.Rule {
	is := map[tactics.Fact][]int{}
	maps.Copy(is, r.When)
	for _, v := range values {
		is[f] = append(is[f], slices.Index(f.Values(), v))
	}
	r.When = is
	return r
}

// begins multiplies how often a fighter begins moves, in every zone.
func begins(by float64, moves ...tape.Move) func(fighter.Draw) {
	return func(d fighter.Draw) {
		for _, m := range moves {
			for z := range fighter.NumZones {
				d[fighter.Initiate(z, m)] *= by
			}
		}
	}
}

// only is a rule that forbids everything else at a point.
func only(at tactics.Point, what ...string) tactics.Rule { return tactics.Rule{At: at, Only: what} }

// goes is a rule that follows an act with something and never with nothing.
func goes(after string, what ...string) tactics.Rule {
	r := when(more(tactics.Continue, 20, what...), tactics.FactLastAct, after)
	r.Multiples = append(r.Multiples, tactics.Multiple{What: "none", By: 0})
	return r
}

// draws puts edits of a draw one after the other.
func draws(edits ...func(fighter.Draw)) func(fighter.Draw) {
	return func(d fighter.Draw) {
		for _, edit := range edits {
			edit(d)
		}
	}
}

// continues multiplies how often a fighter goes on with moves after an own act.
func continues(by float64, moves ...tape.Move) func(fighter.Draw) {
	return func(d fighter.Draw) {
		for _, m := range moves {
			for z := range fighter.ExchangeZones {
				d[fighter.Continue(z, m)] *= by
			}
		}
	}
}

// size sets a figure that stands alone.
func size(i int, x float64) func(fighter.Draw) {
	return func(d fighter.Draw) { d[fighter.Alone(i)] = x }
}

func southpaw(b *fighter.Body) { b.Southpaw = true }

// noSwitch: a match-up stays what it is.
var noSwitch = begins(0, tape.MoveSwitchStance)

// onFeet is the rule set with the longest time on the feet: what is decided there shows in fewer bouts.
const onFeet = "kickboxing-3x3"
