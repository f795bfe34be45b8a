package tactics

import "strings"

// Adherence is the share of decisions, from 0 to 1, at which a fresh fighter manages to follow a plan or rule, with the standard
// deviation of that share: an assumption unless measured.
type Adherence struct{ Share, SD float64 }

// UsualAdherence is taken when a plan does not say (judgement).
var UsualAdherence = Adherence{0.8, 0.1}

// Plan is a game plan. A plan without rules is "as usual".
type Plan struct {
	Name, Intent string
	Adherence    Adherence
	Rules        []Rule
}

// Rule says when it holds and what it re-weights at one choice point.
type Rule struct {
	Name      string
	At        Point
	When      map[Fact][]int // indices of the values that count; a fact that is not named may have any value
	Multiples []Multiple     // their product counts where words overlap
	Only      []string       // everything else never; empty: no such limit
	KeepTempo bool           // at initiate: what is taken from some goes to the others
	Adherence *Adherence     // nil: the plan's
}

// Multiple re-weights one alternative, or a group of them; 0 means never.
type Multiple struct {
	What string
	By   float64
}

// Combine puts the rules of several plans into one, in the order given. The first plan's adherence becomes that of the whole; rules
// of plans that differ in it keep their own. The plans are not changed and share their rules' contents with the result.
func Combine(name string, plans ...*Plan) *Plan {
	out := &Plan{Name: name, Adherence: UsualAdherence}
	if len(plans) > 0 {
		out.Adherence = plans[0].Adherence
	}
	var intents []string
	for _, p := range plans {
		if p.Intent != "" {
			intents = append(intents, p.Intent)
		}
		for _, r := range p.Rules {
			if r.Adherence == nil && p.Adherence != out.Adherence {
				own := p.Adherence
				r.Adherence = &own
			}
			out.Rules = append(out.Rules, r)
		}
	}
	out.Intent = strings.Join(intents, "; ")
	return out
}
