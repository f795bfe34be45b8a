package calibrate

import (
	"errors"
	"fmt"
	"slices"

	"whatbout/internal/infer"
	"whatbout/internal/input"
	"whatbout/tape"
)

// AgreeOptions says how codings are compared. All are required.
type AgreeOptions struct {
	Window  float64   // s, above 0 to 3: how far two clocks of one event may lie apart once a constant offset is out
	Level   float64   // of every interval, above 0 and below 1
	Windows []float64 // s, each as Window: the curve
	Seed    uint64    // of the bootstraps
}

// UsualWindows is a curve from a few frames of film to where neighbouring acts are taken for each other.
var UsualWindows = []float64{.1, .2, .3, .5, .8, 1.2}

// Agreement is how far the codings of one bout agree.
type Agreement struct {
	Bout         string          `json:"bout"`
	Codings      []string        `json:"codings"`
	Window       float64         `json:"window"` // s
	Level        float64         `json:"level"`
	Invented     bool            `json:"invented"`
	NotLookedFor []string        `json:"not_looked_for"` // groups left out
	Pairs        []PairAgreement `json:"pairs"`          // every two codings
	All          *AllAgreement   `json:"all,omitempty"`  // three codings or more
	Errors       []CoderError    `json:"coder_errors"`
	Warnings     []string        `json:"warnings"`
}

// PairAgreement is how far two codings agree.
type PairAgreement struct {
	First         string           `json:"first"`
	Second        string           `json:"second"`
	Offset        Offset           `json:"offset"` // s, second less first
	Uncorrected   Presence         `json:"events_before_correction"`
	Events        Presence         `json:"events"`     // after it; all groups together
	Clocks        ClockAgreement   `json:"clocks"`     // of matched acts of the same kind, after correction
	Unseen        [2]int           `json:"not_judged"` // acts of the first and the second at moments that the other did not see or code
	Groups        []GroupPresence  `json:"groups"`
	Codes         []CodeAgreement  `json:"codes"` // on matched events
	States        []StateAgreement `json:"states"`
	Curve         []WindowPoint    `json:"curve"`
	Confusions    []Confusion      `json:"confusions"` // acts, the same ones included, most frequent first
	ByGroup       ConfusionTable   `json:"confusion_by_group"`
	Disagreements []Disagreement   `json:"disagreements"` // in the order of the clock
}

// ClockAgreement is how far the clocks of matched acts of the same kind agree, once a constant offset is out.
type ClockAgreement struct {
	Apart infer.Interval    `json:"apart"` // s: the median distance
	Alpha infer.Coefficient `json:"alpha"` // interval metric, on clocks since the bell; near 1 for any coders, since rounds are long
}

// WindowPoint is one place of the curve.
type WindowPoint struct {
	Window  float64         `json:"window"` // s
	Events  Presence        `json:"events"`
	SameAct infer.Interval  `json:"same_act"` // share of the matched events
	Groups  []GroupPresence `json:"groups"`
}

// Confusion counts matched events that the first coder called one act and the second another (or the same). First or Second is "" where
// that coder has no event.
type Confusion struct {
	First  string `json:"first"`
	Second string `json:"second"`
	Count  int    `json:"count"`
}

// Agree compares all codings of a bout (tape.ReadBoutDir gives both). Order of steps: the constant offset between two clocks; the one-to-one
// matching of events under it; presence, codes and states; the coders' errors. With one coding nothing can be compared, and Errors holds
// assumptions that say so. Bootstraps depend on the seed alone, and exchanging the coders changes no estimate. The error lists all faults of the options
// and of the codings.
func Agree(b *tape.Bout, codings []*tape.Coding, o AgreeOptions) (*Agreement, error) {
	if err := errors.Join(o.Check(), tooDense(b, codings)); err != nil {
		return nil, err
	}
	out := &Agreement{Bout: b.ID, Window: o.Window, Level: o.Level, Invented: b.Invented, NotLookedFor: notLookedFor(b)}
	for _, c := range codings {
		out.Codings = append(out.Codings, c.Name)
		out.Warnings = append(out.Warnings, silent(b, c, codings)...)
	}
	if len(codings) < 2 {
		out.Errors = assumedErrors(b, codings)
		out.Warnings = append(out.Warnings, "one coding only: nothing can be compared, and the coder's error is an assumption, not an estimate")
		return out, nil
	}
	var compared []*comparedPair
	for i := range codings {
		for j := i + 1; j < len(codings); j++ {
			p := comparePair(b, codings, i, j, o)
			compared = append(compared, p)
			out.Pairs = append(out.Pairs, p.result)
		}
	}
	units := unitsOf(codings, compared)
	if len(codings) > 2 {
		out.All = agreeAll(b, len(codings), units, o)
	}
	out.Errors = coderErrors(b, codings, units, o.Level)
	return out, nil
}

// Check lists all faults of the options.
func (o AgreeOptions) Check() error {
	var faults []error
	for _, w := range append([]float64{o.Window}, o.Windows...) {
		if !(w >= 1e-6 && w <= 3) {
			faults = append(faults, fmt.Errorf("a window of %g s; expected above 0 and at most 3 s", w))
		}
	}
	if !(o.Level > 0 && o.Level < 1) {
		faults = append(faults, fmt.Errorf("a level of %g; expected above 0 and below 1", o.Level))
	}
	return errors.Join(faults...)
}

// mostActs of one corner in a second are more than anybody throws or codes; more would only make the matching slow.
const mostActs = 50

// tooDense lists the places where a coding has more acts of one corner in a second than mostActs.
func tooDense(b *tape.Bout, codings []*tape.Coding) error {
	var faults input.Faults
	for _, c := range codings {
		last := map[bucket][]int64{}
		for i := range c.Rows {
			r := &c.Rows[i]
			at := bucket{r.Round, r.Corner}
			if !isEvent(&r.Event) || !b.LookedFor.Has(r.Act) {
				continue
			}
			clocks := append(last[at], r.Clock)
			if n := len(clocks); n > mostActs && clocks[n-1]-clocks[n-1-mostActs] < 1e6 {
				faults.Add(input.Fault{File: c.Name + ".csv", Line: r.Line, What: fmt.Sprintf("more than %d acts of one fighter within a second", mostActs),
					Want: "each act once"})
				clocks = nil
			}
			last[at] = clocks
		}
	}
	return faults.Err()
}

func notLookedFor(b *tape.Bout) (out []string) {
	for g, in := range b.LookedFor {
		if !in {
			out = append(out, tape.Group(g).String())
		}
	}
	return out
}

// silent warns of groups that only this coder has no row of: looked for by the bout's own word, but perhaps not by this coder.
func silent(b *tape.Bout, c *tape.Coding, all []*tape.Coding) (out []string) {
	for _, g := range actGroups {
		if !b.LookedFor[g] || countIn(c, g) > 0 {
			continue
		}
		others := 0
		for _, o := range all {
			others += countIn(o, g)
		}
		if others > 0 {
			out = append(out, fmt.Sprintf("%s has no row of %s, others have %d; if that coder did not look for them, say so in looked_for", c.Name, g, others))
		}
	}
	return out
}

func countIn(c *tape.Coding, g tape.Group) (n int) {
	for i := range c.Rows {
		if e := &c.Rows[i].Event; isEvent(e) && inGroup(g, e.Act) {
			n++
		}
	}
	return n
}

// comparedPair keeps the matching beside the result.
type comparedPair struct {
	i, j   int // codings
	match  matching
	result PairAgreement
}

func comparePair(b *tape.Bout, codings []*tape.Coding, i, j int, o AgreeOptions) *comparedPair {
	first, second, window := codings[i], codings[j], microseconds(o.Window)
	p := &comparedPair{i: i, j: j, result: PairAgreement{First: first.Name, Second: second.Name}}
	r := &p.result
	var shift int64
	r.Offset, shift = offsetOf(b, first, second, window, o.Level)
	plain := matchShared(b, first, second, 0, window, nil)
	r.Uncorrected = presence(&plain, o.Level)
	p.match = matchShared(b, first, second, shift, window, &r.Unseen)
	r.Events = presence(&p.match, o.Level)
	r.Groups = groupPresences(b, &p.match, o.Level)
	units := pairUnits(&p.match)
	random := newBootstraps(o.Seed)
	r.Clocks = clockAgreement(&p.match, units, o.Level, random)
	r.Codes = codeAgreements(b, units, o.Level, random)
	var stretches []Disagreement
	r.States, stretches = stateAgreements(b, first, second, shift, o.Level, random)
	for _, w := range o.Windows {
		m := matchShared(b, first, second, shift, microseconds(w), nil)
		r.Curve = append(r.Curve, WindowPoint{w, presence(&m, o.Level), sameAct(&m, o.Level), groupPresences(b, &m, o.Level)})
	}
	r.Confusions, r.ByGroup = confusions(&p.match), confusionByGroup(b, &p.match)
	r.Disagreements = slices.Concat(disagreements(&p.match), stretches)
	slices.SortStableFunc(r.Disagreements, Disagreement.byClock)
	return p
}

func microseconds(s float64) int64 { return int64(s*1e6 + .5) }
