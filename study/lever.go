package study

import (
	"fmt"
	"strconv"
	"strings"

	"whatbout/fighter"
	"whatbout/tactics"
)

// Lever is a dial of one fighter with the ends between which it is moved.
type Lever struct {
	Dial      *Dial
	Whose     int     // 0 the fighter's, 1 the opponent's
	Low, High float64 // in the dial's units; what is believed of it unless stated
	Stated    bool
}

// ReadLever reads a lever such as "bites.hip", "opponent:chin" or "fighter:rate.jab=2..20": whose it is (the dial's own side unless told), the
// dial, and stated ends.
func ReadLever(text string) (*Lever, error) {
	name, ends, stated := strings.Cut(text, "=")
	whose, dial, told := strings.Cut(name, ":")
	if !told {
		dial = name
	}
	d, err := DialNamed(dial)
	if err != nil {
		return nil, err
	}
	l := &Lever{Dial: d, Stated: stated}
	switch {
	case told && whose == "opponent" || !told && d.Theirs:
		l.Whose = 1
	case told && whose != "fighter":
		return nil, fmt.Errorf("%q in %q; expected fighter or opponent before the colon", whose, text)
	}
	if d.adherence && l.Whose == 1 {
		return nil, fmt.Errorf("%q: adherence is that of the fighter's plan", text)
	}
	if !stated {
		return l, nil
	}
	low, high, two := strings.Cut(ends, "..")
	var wrong [2]error
	l.Low, wrong[0] = strconv.ParseFloat(low, 64)
	l.High, wrong[1] = strconv.ParseFloat(high, 64)
	if !two || wrong[0] != nil || wrong[1] != nil || !(l.Low >= d.Low && l.High <= d.High && l.Low < l.High) {
		return nil, fmt.Errorf("%q; expected rising ends from %g to %g (%s), such as %s=%g..%g", text, d.Low, d.High, d.Unit, name, d.Low, d.High)
	}
	return l, nil
}

// String writes a lever as [ReadLever] reads it.
func (l *Lever) String() string {
	s := []string{"fighter:", "opponent:"}[l.Whose] + l.Dial.Name
	if l.Stated {
		s += fmt.Sprintf("=%g..%g", l.Low, l.High)
	}
	return s
}

// AllLevers are all dials of both fighters, and adherence.
func AllLevers() (out []*Lever) {
	for whose := range 2 {
		for i := range Dials() {
			if d := &Dials()[i]; whose == 0 || !d.adherence {
				out = append(out, &Lever{Dial: d, Whose: whose})
			}
		}
	}
	return out
}

// usualLevers are what a corner asks about first.
var usualLevers = []string{"bites.hand", "bites.hip", "bites.leg", "bites.level", "fighter:bites.hand", "fighter:skill.attack.straight", "fighter:skill.attack.low_kick",
	"fighter:skill.attack.takedown", "fighter:skill.defence.straight", "fighter:skill.defence.takedown", "opponent:skill.attack.straight",
	"opponent:skill.attack.looping", "opponent:skill.attack.low_kick", "opponent:skill.attack.takedown", "fighter:reaction.choice", "opponent:reaction.choice",
	"fighter:chin", "opponent:chin", "fighter:tiring", "adherence"}

// UsualLevers are twenty that a corner asks about first.
func UsualLevers() (out []*Lever) {
	for _, text := range usualLevers {
		l, err := ReadLever(text)
		if err != nil {
			panic("study: " + err.Error())
		}
		out = append(out, l)
	}
	return out
}

// ends gives a lever its ends in a meeting: what is believed of the dial, held within its limits, unless stated. A lever with nothing to start
// from, or about which there is no doubt, is an error.
func (m *Meeting) ends(l Lever, plan *tactics.Plan, level float64) (MovedFigure, error) {
	who := []*fighter.Profile{m.Fighter, m.Opponent}[l.Whose]
	out := MovedFigure{Figure: l.Dial.Name, Of: who.ID, Plain: l.Dial.Plain(who.ID), Unit: l.Dial.Unit, Low: l.Low, High: l.High, Stated: l.Stated, Lever: &l}
	switch {
	case l.Dial.adherence && (plan == nil || len(plan.Rules) == 0):
		return out, fmt.Errorf("adherence is that of a plan; as usual has none")
	case !l.Dial.adherence:
		if err := l.Dial.check(who); err != nil {
			return out, err
		}
	}
	calibrated, believed, source := m.believed(l.Dial, l.Whose, plan, level)
	out.Calibrated, out.Source = calibrated, source.String()
	if !l.Stated {
		out.Low, out.High = max(believed.Low, l.Dial.Low), min(believed.High, l.Dial.High)
	}
	if !(out.Low < out.High) {
		return out, fmt.Errorf("%s of %s is not in doubt; state ends for it", l.Dial.Name, who.ID)
	}
	return out, nil
}

// MovedFigure is a lever in a meeting.
type MovedFigure struct {
	Figure     string  `json:"figure"`
	Of         string  `json:"of"` // the fighter whose it is
	Plain      string  `json:"plain"`
	Unit       string  `json:"unit"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	Calibrated float64 `json:"calibrated"`
	Source     string  `json:"source"` // of what is believed: tape, population or assumption
	Stated     bool    `json:"stated"` // the ends are the user's, not what is believed
	Lever      *Lever  `json:"-"`
}

// at sets a moved lever's dial.
func (m *MovedFigure) at(x float64) Setting {
	return Setting{Dial: m.Lever.Dial, Whose: m.Lever.Whose, At: x}
}
