package web

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
	"whatbout/tactics"
)

// Slider is a dial as the page shows it, in the dial's units.
type Slider struct {
	Name       string  `json:"name"` // as in an address
	Label      string  `json:"label"`
	Unit       string  `json:"unit"`
	Low        float64 `json:"low"` // of the track; the number field takes Least to Most
	High       float64 `json:"high"`
	Least      float64 `json:"least"`
	Most       float64 `json:"most"`
	Step       float64 `json:"step"`
	At         float64 `json:"at"`
	Calibrated float64 `json:"calibrated"`
	From       float64 `json:"from"` // what is believed of it before it is moved
	To         float64 `json:"to"`
	Source     string  `json:"source"` // tape, population or assumption
	Support    string  `json:"support"`
	Moved      bool    `json:"moved"`
}

// usualDials are shown unless an address says otherwise: what the field argues about most.
var usualDials = []string{"own.bites.hip", "their.bites.hip", "their.rate.feint_hip", "own.reaction.choice", "own.adherence"}

// supportLevel is that of the range drawn on a track: truth lies inside in nine of ten cases, given the model.
const supportLevel = .9

// sliders are those that a state shows, the moved ones among them.
func (s *Server) sliders(a *ask) (out []Slider, err error) {
	names := slices.Clone(a.State.Show)
	if len(names) == 0 {
		names = slices.Clone(usualDials)
	}
	at := map[string]float64{}
	for _, m := range a.State.Moved {
		at[m.Name()] = m.At
		if !slices.Contains(names, m.Name()) {
			names = append(names, m.Name())
		}
	}
	for _, name := range names {
		x, err := s.slider(a, name)
		if err != nil {
			return nil, err
		}
		if value, moved := at[name]; moved {
			x.At, x.Moved = value, true
			x.Low, x.High = min(x.Low, value), max(x.High, value)
		}
		out = append(out, *x)
	}
	return out, nil
}

func (s *Server) slider(a *ask, name string) (*Slider, error) {
	word, theirs, err := parseDial(name)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", name, err)
	}
	d, err := study.DialNamed(word)
	if err != nil {
		return nil, err
	}
	x := &Slider{Name: name, Unit: d.Unit, Low: d.Low, High: d.High, Least: d.Low, Most: d.High}
	who := a.q.Fighter
	if theirs {
		who = a.q.Opponent
	}
	x.Label = dialLabel(d, title(who.ID))
	if d.OfPlan() {
		if theirs {
			return nil, fmt.Errorf("%q: how well the opponent's plan is followed is not moved here", name)
		}
		x.followed(a.q.Plans[1])
	} else {
		x.believed(s.beliefs.of(who, d))
	}
	x.track()
	x.At = x.Calibrated
	x.Support = x.support(title(who.ID))
	return x, nil
}

// followed is the dial of how well a plan is followed.
func (x *Slider) followed(p *tactics.Plan) {
	a := p.Adherence
	if len(p.Rules) == 0 {
		a = tactics.UsualAdherence
	}
	half := 1.645 * a.SD // supportLevel of a normal distribution
	x.Calibrated, x.From, x.To, x.Source = 100*a.Share, 100*max(a.Share-half, 0), 100*min(a.Share+half, 1), "assumption"
}

func (x *Slider) believed(b belief) {
	x.Calibrated, x.From, x.To, x.Source = b.centre, b.Low, b.High, b.source
}

// track chooses steps, and ends that leave what is believed in view.
func (x *Slider) track() {
	switch x.Unit {
	case "of ten", "a minute", "multiple":
		x.Step = .1
	case "m":
		x.Step = .01
	case "ms":
		x.Step = 5
	default:
		x.Step = 1
	}
	if x.Unit == "a minute" || x.Unit == "multiple" {
		x.High = min(x.Most, niceAbove(max(1.6*x.To, 2.5*x.Calibrated)))
		if x.Unit == "a minute" && x.High <= 1 {
			x.Step = .01
		}
	}
	x.Low, x.High = min(x.Low, x.From), max(x.High, x.To)
	for _, v := range []*float64{&x.Calibrated, &x.From, &x.To} {
		*v = math.Round(*v*1000) / 1000
	}
}

// niceAbove is the next of 1, 2, 3, 5 and 8 times a power of ten.
func niceAbove(v float64) float64 {
	if v <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 3, 5, 8} {
		if m*power >= v {
			return m * power
		}
	}
	return 10 * power
}

// support says in words what is drawn on the track.
func (x *Slider) support(who string) string {
	numbers := fmt.Sprintf("%s to %s", short(x.From, x.Step), short(x.To, x.Step))
	switch x.Source {
	case "tape":
		return fmt.Sprintf("%s's tape supports %s; calibrated %s.", who, numbers, short(x.Calibrated, x.Step))
	case "population":
		return fmt.Sprintf("No tape of %s says it: the population's %s; middle %s.", who, numbers, short(x.Calibrated, x.Step))
	}
	return fmt.Sprintf("Tape cannot show it. Assumed: %s; middle %s.", numbers, short(x.Calibrated, x.Step))
}

// short writes a number with as many digits as the step has.
func short(v, step float64) string {
	digits := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	return fmt.Sprintf("%.*f", digits, v)
}

// belief is what a profile says of a dial.
type belief struct {
	infer.Interval
	centre float64
	source string
}

// beliefs are kept, since each takes a thousand draws of a profile.
type beliefs struct {
	mu   sync.Mutex
	kept map[believedKey]belief
}

type believedKey struct {
	profile *fighter.Profile
	dial    string
}

const mostBeliefs = 1000

func (b *beliefs) of(p *fighter.Profile, d *study.Dial) belief {
	key := believedKey{p, d.Name}
	b.mu.Lock()
	defer b.mu.Unlock()
	if x, ok := b.kept[key]; ok {
		return x
	}
	x := belief{d.Believed(p, 1, supportLevel), d.Calibrated(p), d.Source(p).String()}
	if b.kept == nil || len(b.kept) >= mostBeliefs {
		b.kept = map[believedKey]belief{}
	}
	b.kept[key] = x
	return x
}

// prices says what else a moved dial of bites does.
func prices(a *ask) (out []string) {
	for _, m := range a.State.Moved {
		s, err := m.setting()
		who := a.q.Fighter
		if m.Theirs {
			who = a.q.Opponent
		}
		if err != nil {
			continue // told already
		}
		if real, ok := s.Dial.RealBelieved(who, m.At); ok {
			before, _ := s.Dial.RealBelieved(who, s.Dial.Calibrated(who))
			out = append(out, fmt.Sprintf("With %s bites of ten, %s takes %.1f of ten real %s for real (%.1f as calibrated).", short(m.At, .1), title(who.ID), real,
				cueWords[strings.TrimPrefix(m.Dial, "bites.")], before))
		}
	}
	return out
}

var cueWords = map[string]string{"hand": "attacks with the hand", "hip": "attacks with the hip", "leg": "attacks with the leg", "level": "shots"}
