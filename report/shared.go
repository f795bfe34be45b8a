package report

import (
	"fmt"

	"whatbout/study"
	"whatbout/tactics"
)

// UsualNote says what "as usual" means, under every study of plans.
const UsualNote = "\"as usual\" is the average of the coded rounds over the opponents met."

// MovedNote says what a value is that was put there by hand.
const MovedNote = "what is moved stands where it was put in every draw: nobody's tape says so."

// Followed says how well a plan is taken to be followed; there is nothing to follow in "as usual".
func Followed(p *tactics.Plan) []string {
	if p == nil || len(p.Rules) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%q is followed at %.0f %% of decisions when fresh (standard deviation %.0f points), less when tired or hurt: an assumption.",
		p.Name, 100*p.Adherence.Share, 100*p.Adherence.SD)}
}

// Told reports whether the mean of a difference is told from none.
func Told(d *study.Difference) bool { return isTold(d) }

// Difference gives the difference of a plan in a measure; nil if there is no such plan or measure.
func (c *Comparison) Difference(plan, outcome string) *study.Difference { return c.find(plan, outcome) }

// NewPage makes a page of a comparison with what was watched of its bouts, which may be nil.
func NewPage(c *Comparison, watched *study.TraceResult) (*Page, error) {
	with := *c
	with.Watched = watched
	return PageOf(&with, nil)
}
