package calibrate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tape"
)

// Closing says what is shifted so that the coded bouts, fought again, come nearer to what was coded.
type Closing uint8

// What may be closed.
const (
	CloseNone   Closing = 0
	CloseRates  Closing = 1 // each fighter's rates and weights of a family of acts
	CloseShares Closing = 2 // everybody's log-odds of success with a family, the same for all
	CloseBoth           = CloseRates | CloseShares
)

var closingNames = map[string]Closing{"none": CloseNone, "rates": CloseRates, "shares": CloseShares, "both": CloseBoth}

// ReadClosing reads none, rates, shares or both.
func ReadClosing(word string) (Closing, error) {
	c, ok := closingNames[word]
	if !ok {
		fault := fmt.Sprintf("--close is %q; expected rates, shares, both or none", word)
		if near := input.Nearest(word, sortedKeys(closingNames)); near != "" {
			fault += fmt.Sprintf("; did you mean %q?", near)
		}
		return CloseNone, errors.New(fault)
	}
	return c, nil
}

// Closure is one residual before and after closing.
type Closure struct {
	Before, After Residual
	Applied       float64 // what was added to the logarithm of this fighter's rate, or to everybody's log-odds; 0: nothing
}

// close shifts profiles and the joint part by the offsets of the residuals, replays the tape once more, and gives both beside each other. An
// offset is shrunk by the part of its square that is its own error (positive-part James-Stein for one mean, Efron & Morris 1973, JASA 68,
// 117-130, from memory), so that what is within its error is left as it is, unless all of it is asked for. Shares that several families draw on, and
// rates that lack time for more, do not close in full.
func (r *Result) close(ctx context.Context, all []*replay, o Options) error {
	applied := map[closureOf]float64{}
	for i := range r.Residuals {
		x := &r.Residuals[i]
		own := x.Figure == ResidualRate && x.Fighter != "" && o.Close&CloseRates != 0
		common := x.Figure == ResidualShare && x.Fighter == "" && o.Close&CloseShares != 0
		if !own && !common {
			continue
		}
		by := x.applied(o.CloseWhole)
		if by == 0 {
			continue
		}
		applied[x.of()] = by
		if own {
			r.closeRate(x.Fighter, x.Family, by)
		} else {
			r.closeShare(x.Family, by)
		}
	}
	if o.CloseWhole {
		for _, p := range r.Profiles {
			p.MadeFrom.Closed.Whole = len(p.MadeFrom.Closed.Rates)+len(p.MadeFrom.Closed.Shares) > 0
		}
	}
	joint, err := r.Joint()
	if err != nil {
		return err
	}
	after, err := residuals(ctx, all, joint, o.Workers)
	if err != nil {
		return err
	}
	r.Closed = closures(r.Residuals, after, applied)
	return nil
}

// closureOf says which residual.
type closureOf struct {
	fighter string
	family  fighter.Family
	figure  ResidualFigure
}

func (r *Residual) of() closureOf { return closureOf{r.Fighter, r.Family, r.Figure} }

// applied is how much of an offset is added. One without an error to measure it by is none.
func (r *Residual) applied(whole bool) float64 {
	switch {
	case r.Standard == 0:
		return 0
	case whole:
		return r.Offset
	}
	return r.Offset * max(0, 1-1/(r.Standard*r.Standard))
}

func closures(before, after []Residual, applied map[closureOf]float64) (out []Closure) {
	later := map[closureOf]Residual{}
	for i := range after {
		later[after[i].of()] = after[i]
	}
	for i := range before {
		if x, ok := later[before[i].of()]; ok {
			out = append(out, Closure{before[i], x, applied[before[i].of()]})
		}
	}
	return out
}

// closeRate shifts a fighter's rates. Who has no profile fights as the population.
func (r *Result) closeRate(id string, f fighter.Family, by float64) {
	p := r.Profiles[id]
	if p == nil {
		return
	}
	MoreOften(p, f, math.Exp(by))
	c := &p.MadeFrom.Closed
	if c.Rates == nil {
		c.Rates = map[fighter.Family]float64{}
	}
	c.Rates[f] = by
}

// closeShare shifts everybody's attack, in profiles and in the joint part alike.
func (r *Result) closeShare(f fighter.Family, by float64) {
	for _, p := range r.Profiles {
		p.Figures[fighter.Attack(f)].A += by
		c := &p.MadeFrom.Closed
		if c.Shares == nil {
			c.Shares = map[fighter.Family]float64{}
		}
		c.Shares[f] = by
	}
	for i := range r.Skills {
		fit := &r.Skills[i]
		if fit.Family != f {
			continue
		}
		for id := range r.Evidence {
			if at := slices.Index(fit.Names, skillName(id, fighter.Attack(f))); at >= 0 {
				fit.Mean[at] += by
			}
		}
	}
}

// MoreOften multiplies how often a fighter begins, answers with and continues with the moves of a family of acts; how sure that is stays.
func MoreOften(p *fighter.Profile, f fighter.Family, times float64) {
	for m := range tape.NumMoves {
		if family, ok := fighter.FamilyOf(m.Act()); !ok || family != f {
			continue
		}
		for z := range fighter.NumZones {
			p.Figures[fighter.Initiate(z, m)].B /= times
		}
		for z := range fighter.ExchangeZones {
			for _, figure := range []fighter.Figure{fighter.Answer(z, m), fighter.Continue(z, m)} {
				if post := &p.Figures[figure]; post.A > 0 {
					post.B = post.Mean(fighter.Weight) / post.A * times
				}
			}
		}
	}
}
