package calibrate

import (
	"strings"

	"whatbout/tape"
)

// Disagreement is one place at which two coders should look at the film together.
type Disagreement struct {
	Round       uint8   `json:"round"`
	FirstClock  float64 `json:"first_clock"`  // s since the bell, on the first coder's own clock; where only the other coded it, the same moment there
	SecondClock float64 `json:"second_clock"` // and on the second's
	Corner      string  `json:"corner"`       // "" for the pair
	What        string  `json:"what"`         // "missed", a state, or the codes that differ
	First       string  `json:"first"`        // what the first coder has; "" for nothing
	Second      string  `json:"second"`
	Seconds     float64 `json:"seconds,omitempty"` // how long they differ on a state
	Weight      float64 `json:"weight"`            // how much it matters: judgement, for sorting only
}

// Weights of disagreements, judgement: an act that one coder has and the other not is one, more if it did something; a state half a
// second each second.
const (
	missedWeight   = 1
	stateWeight    = .5
	groupWeight    = 1
	actWeight      = .5
	resultWeight   = .5 // a step on the scale of results
	codeWeight     = .25
	landedWeight   = 1
	damageWeight   = 3
	takedownWeight = 3
)

// disagreements lists what differs in a matching.
func disagreements(m *matching) (out []Disagreement) {
	shift := m.shift()
	for _, i := range m.onlyFirst {
		a := &m.firstActs[i]
		d := alone(a, "missed")
		d.First, d.FirstClock, d.SecondClock = told(a), seconds(a.Clock), seconds(a.Clock+shift)
		out = append(out, d)
	}
	for _, j := range m.onlySecond {
		a := &m.secondActs[j]
		d := alone(a, "missed")
		d.Second, d.FirstClock, d.SecondClock = told(a), seconds(a.Clock-shift), seconds(a.Clock)
		out = append(out, d)
	}
	for _, p := range m.pairs {
		if d, differ := between(&m.firstActs[p.first], &m.secondActs[p.second]); differ {
			out = append(out, d)
		}
	}
	return out
}

func seconds(us int64) float64 { return float64(us) / 1e6 }

// shift is how far the second clock is ahead, as the acts were laid over each other.
func (m *matching) shift() int64 {
	if len(m.firstActs) > 0 {
		return m.firstActs[0].mid - 2*m.firstActs[0].Clock
	}
	if len(m.secondActs) > 0 {
		return 2*m.secondActs[0].Clock - m.secondActs[0].mid
	}
	return 0
}

func alone(a *codedAct, what string) Disagreement {
	d := Disagreement{Round: a.Round, Corner: a.Corner.String(), What: what, Weight: missedWeight}
	switch {
	case a.Result >= tape.Hurt && a.Result <= tape.Stoppage:
		d.Weight += damageWeight
	case a.Result == tape.TakenDown:
		d.Weight += takedownWeight
	case a.Result.IsLanded():
		d.Weight += landedWeight
	}
	return d
}

// told says an act in the words of the tape.
func told(a *codedAct) string {
	words := []string{a.Act.String()}
	for _, w := range []string{a.Value.String(), a.How.String(), a.Result.String()} {
		if w != "" && w != "unknown" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// between lists every code on which two coders of one event differ; where either left it open they do not.
func between(a, b *codedAct) (Disagreement, bool) {
	d := Disagreement{Round: a.Round, Corner: a.Corner.String(), FirstClock: seconds(a.Clock), SecondClock: seconds(b.Clock)}
	var what, first, second []string
	add := func(name, x, y string, weight float64) {
		what, first, second = append(what, name), append(first, x), append(second, y)
		d.Weight += weight
	}
	if a.Act != b.Act {
		weight := float64(actWeight)
		if homeGroup(a.Act) != homeGroup(b.Act) {
			weight = groupWeight
		}
		add("act", a.Act.String(), b.Act.String(), weight)
	} else if a.Value != b.Value && a.Value != tape.NoValue && b.Value != tape.NoValue {
		add("value", a.Value.String(), b.Value.String(), codeWeight)
	}
	if x, y := resultCode(a), resultCode(b); x != y && x*y != 0 {
		add("result", a.Result.String(), b.Result.String(), resultWeight*steps(a, b))
	}
	if x, y := defenceCode(a), defenceCode(b); x != y && x*y != 0 {
		add("defence", a.Defence.String(), b.Defence.String(), codeWeight)
	}
	if a.How != b.How && a.How != tape.HowUncoded && b.How != tape.HowUncoded {
		add("how", a.How.String(), b.How.String(), codeWeight)
	}
	if a.Limb != b.Limb && a.Limb != tape.LimbUncoded && b.Limb != tape.LimbUncoded {
		add("limb", a.Limb.String(), b.Limb.String(), codeWeight)
	}
	d.What, d.First, d.Second = strings.Join(what, ", "), strings.Join(first, ", "), strings.Join(second, ", ")
	return d, len(what) > 0
}

// steps counts how far two results of strikes lie apart; other results have no order.
func steps(a, b *codedAct) float64 {
	if a.Act.IsStrike() && b.Act.IsStrike() {
		return max(float64(a.Result)-float64(b.Result), float64(b.Result)-float64(a.Result))
	}
	return 2
}
