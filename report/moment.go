package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// MomentSchema names the JSON form of a moment.
const MomentSchema = "whatbout.moment/1"

// Moment explains one moment of a story.
type Moment struct {
	Story *Story
	Plans [2]*tactics.Plan // nil: as usual
	sim.Moment
}

// Text explains the moment: what was known, what the options weighed, what was drawn, and why a strike landed or not.
func (m *Moment) Text(w io.Writer) error {
	e := m.Event
	own := title(m.Story.Names[e.Corner])
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\nRound %d, %s: %s\n", m.Story.which()+".", e.Round, Clock(e.Clock), m.Story.tell(e))
	if m.Begun != nil {
		m.tellChoice(&b, m.Begun)
	} else {
		fmt.Fprintf(&b, "\n%s did not choose this: it is what follows when a kick is caught.\n", own)
	}
	if m.Believed != nil {
		m.tellBelief(&b, m.Believed)
	} else if e.Act.IsAttack() {
		fmt.Fprintf(&b, "\n%s could not react to it in time, or was busy: it meets what happens to be there.\n", title(m.Story.Names[1-e.Corner]))
	} else if e.Act.IsFeint() {
		fmt.Fprintf(&b, "\n%s was busy, or saw something else first, and never had to decide about it.\n", title(m.Story.Names[1-e.Corner]))
	}
	if m.Defended != nil {
		m.tellChoice(&b, m.Defended)
	}
	if m.Landing != nil {
		m.tellLanding(&b, m.Landing)
	}
	fmt.Fprintf(&b, "\n%s", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

var occasions = [tactics.NumPoints]string{
	tactics.Initiate: "free to begin something", tactics.Believe: "seeing the first movement", tactics.Defend: "having taken it for real",
	tactics.Answer: "with the other's attack just over", tactics.Continue: "with an act of their own just over", tactics.Survive: "hurt",
}

func (m *Moment) tellChoice(b *strings.Builder, c *sim.Choice) {
	name := title(m.Story.Names[c.Corner])
	fmt.Fprintf(b, "\n%s at %s, %s, %.2f m apart\n", name, Clock(c.Clock), occasions[c.At], c.Gap)
	fmt.Fprintf(b, "  Knew: %s.\n", strings.Join(knownWords(c.Known), "; "))
	m.tellRules(b, c)
	unit, times := "of 100", 100.0
	if c.At == tactics.Initiate {
		unit, times = "a minute of free time", sim.Bound*60
	}
	planned := len(c.Rules) > 0
	header := table.Row{"  option, " + unit, "as usual"}
	if planned {
		header = append(header, "with the plan")
	}
	rows := []table.Row{append(header, "")}
	rest := [2]float64{}
	for i, o := range shown(c) {
		if i >= shownOptions && o.Name != c.Name() {
			rest[0], rest[1] = rest[0]+o.Usual, rest[1]+o.Planned
			continue
		}
		rows = append(rows, optionRow("  "+spaced(o.Name), o.Usual, o.Planned, times, planned, o.Name == c.Name()))
	}
	if rest[0]+rest[1] > 0 {
		rows = append(rows, optionRow("  everything else", rest[0], rest[1], times, planned, false))
	}
	b.WriteString(plainTable(rows) + "\n")
	if c.Chosen >= len(c.Options) {
		fmt.Fprintf(b, "  Drawn: %.4f of 1, beyond all options, which end at %.4f: nothing begins.\n", c.Drawn, total(c))
		return
	}
	low, high := stretch(c)
	fmt.Fprintf(b, "  Drawn: %.4f of 1. %s had %.4f to %.4f (options lie end to end in the order of their names)", c.Drawn, spaced(c.Name()), low, high)
	if c.At == tactics.Initiate {
		fmt.Fprintf(b, "; at %.0f %% of such moments nothing begins", 100*(1-total(c)))
	}
	b.WriteString(".\n")
}

// shownOptions is how many options a table shows by name.
const shownOptions = 10

// shown gives the options with any weight, the heaviest first.
func shown(c *sim.Choice) []sim.Option {
	out := slices.DeleteFunc(slices.Clone(c.Options), func(o sim.Option) bool { return o.Usual == 0 && o.Planned == 0 })
	slices.SortStableFunc(out, func(a, b sim.Option) int {
		switch x, y := max(a.Usual, a.Planned), max(b.Usual, b.Planned); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return out
}

func optionRow(name string, usual, planned, times float64, both, chosen bool) table.Row {
	row := table.Row{name, fmt.Sprintf("%.1f", times*usual)}
	if both {
		row = append(row, fmt.Sprintf("%.1f", times*planned))
	}
	if chosen {
		return append(row, "<- drawn")
	}
	return append(row, "")
}

// stretch is the part of the unit interval that belonged to what was chosen.
func stretch(c *sim.Choice) (low, high float64) {
	for _, o := range c.Options[:c.Chosen] {
		low += o.Now
	}
	return low, low + c.Options[c.Chosen].Now
}

func total(c *sim.Choice) (sum float64) {
	for _, o := range c.Options {
		sum += o.Now
	}
	return sum
}

func (m *Moment) tellRules(b *strings.Builder, c *sim.Choice) {
	if words := m.ruleWords(c); words != "" {
		fmt.Fprintf(b, "  %s\n", words)
	}
}

// ruleWords says what the plan has to say here, and whether it was followed; "" without a plan.
func (m *Moment) ruleWords(c *sim.Choice) string {
	plan := m.Plans[c.Corner]
	if plan == nil || len(plan.Rules) == 0 {
		return ""
	}
	if len(c.Rules) == 0 {
		return fmt.Sprintf("Plan (%s): none of its rules holds here.", plan.Name)
	}
	var names []string
	for _, r := range c.Rules {
		names = append(names, plan.Rules[r].Name)
	}
	managed := "followed this time"
	if !c.Followed() {
		managed = "not managed this time: drawn as usual"
	}
	return fmt.Sprintf("Plan (%s): %s; %s (in this state at %.0f %% of moments).", plan.Name, strings.Join(names, "; "), managed, 100*c.Follows)
}

func (m *Moment) tellBelief(b *strings.Builder, c *sim.Choice) {
	w := c.Belief
	name, took := title(m.Story.Names[c.Corner]), "did not take it for real"
	if c.Chosen == 1 {
		took = "took it for real"
	}
	fmt.Fprintf(b, "\n%s at %s saw a %s move and %s\n", name, Clock(c.Clock), cueWords[w.Cue], took)
	m.tellRules(b, c)
	fmt.Fprintf(b, "  How it looked: %s. Own readiness: %s. This bout so far (%d real, %d empty): %s.", oddsWords(w.Percept), oddsWords(w.Readiness), w.SeenReal, w.SeenEmpty, oddsWords(w.Learned))
	if w.Plan != 0 {
		fmt.Fprintf(b, " The plan: %s.", oddsWords(w.Plan))
	}
	fmt.Fprintf(b, "\n  Together %s.\n", oddsWords(w.Percept+w.Readiness+w.Learned+w.Plan))
}

// oddsWords says log-odds, in logit units, as odds for or against.
func oddsWords(x int32) string {
	y := math.Exp(float64(x) / kernel.LogitUnit)
	if math.Abs(y-1) < .05 {
		return "even"
	}
	if y >= 1 {
		return fmt.Sprintf("%.1f to 1 for real", min(y, 9999))
	}
	return fmt.Sprintf("%.1f to 1 against", min(1/y, 9999))
}

var cueWords = [fighter.NumCues]string{"hand", "hip", "leg", "level"}

// reasonWords say a contribution: %o the attacker, %d the other.
var reasonWords = [sim.NumReasons]string{
	sim.ByTechnique: "the technique alone, set, at an average fighter who does nothing about it", sim.ByAttackSkill: "%o's skill with it",
	sim.ByDefenceSkill: "%d's skill against it", sim.ByDefence: "%d's defence (%r), %p made when it came", sim.ByBusy: "%d was busy with something else",
	sim.ByMeasured: "the distance had been measured with the lead hand", sim.BySquared: "%d stood squared up, the middle open",
	sim.ByDenied: "%o's lead hand was taken away", sim.ByLunging: "lunging: thrown from too far", sim.ByDrawn: "%d's guard was drawn elsewhere",
	sim.ByArms: "%d's arms were busy", sim.ByKnee: "%d's knee was up", sim.ByEngaged: "%o's lead hand was busy with the other's", sim.ByStance: "open stance and lead feet", sim.ByTired: "%o was tired", sim.ByHurt: "%d was hurt",
	sim.ByBeaten: "%d's strike came first",
}

// Contribution is a part of a chance in words: what it moved the chance by, of 100, when the parts are added in this order.
type Contribution struct {
	Reason string  `json:"reason"`
	Points float64 `json:"points"`
}

// contributions turns log-odds into points of chance, one after the other; they sum to the chance.
func (m *Moment) contributions(l *sim.Landing) (out []Contribution) {
	fill := strings.NewReplacer("%o", title(m.Story.Names[l.Corner]), "%d", title(m.Story.Names[1-l.Corner]), "%r", spaced(l.Response.String()),
		"%p", fmt.Sprintf("%d %%", int64(l.InTime)*100/128))
	chance := func(x int32) float64 { return 100 * float64(kernel.Logistic(x)) / float64(kernel.Certain) }
	before, sum := 0.0, int32(0)
	for _, p := range l.Parts {
		sum += p.Logits
		now := chance(sum)
		out = append(out, Contribution{fill.Replace(reasonWords[p.Reason]), now - before})
		before = now
	}
	return out
}

func (m *Moment) tellLanding(b *strings.Builder, l *sim.Landing) {
	if l.Short > 0 {
		fmt.Fprintf(b, "\nWhy it missed: when it came, %s stood %.2f m further away than a %s reaches, the body's fall counted.\n", title(m.Story.Names[1-l.Corner]),
			float64(l.Short)/1000, spaced(l.Move.String()))
		return
	}
	why := "Why it did not land clean"
	if l.Clean() {
		why = "Why it landed clean"
	}
	fmt.Fprintf(b, "\n%s (chances of 100)\n", why)
	var rows []table.Row
	for i, c := range m.contributions(l) {
		form := "%+.1f"
		if i == 0 {
			form = "%.1f"
		}
		rows = append(rows, table.Row{"  " + fmt.Sprintf(form, c.Points), c.Reason})
	}
	rows = append(rows, table.Row{"  " + fmt.Sprintf("%.1f", 100*l.Chance), "in all"})
	b.WriteString(plainTable(rows) + "\n")
	fmt.Fprintf(b, "  Drawn: %.1f of 100; below %.1f it lands clean.", 100*l.Drawn, 100*l.Chance)
	if !l.Clean() {
		b.WriteString(" A second draw says how it failed.")
	}
	b.WriteString("\n")
}

func spaced(word string) string { return strings.ReplaceAll(word, "_", " ") }

type momentChoice struct {
	Clock    string         `json:"clock"`
	Fighter  string         `json:"fighter"`
	Point    string         `json:"point"`
	Gap      float64        `json:"gap_metres"`
	Known    []string       `json:"known"`
	Rules    []string       `json:"rules_that_hold"`
	Followed bool           `json:"followed"`
	Options  []momentOption `json:"options,omitempty"`
	Chosen   string         `json:"chosen"`
	Drawn    *float64       `json:"drawn,omitempty"`
}

type momentOption struct {
	Name  string  `json:"name"`
	Usual float64 `json:"share_as_usual"`
	Plan  float64 `json:"share_with_plan"`
	Now   float64 `json:"share_drawn_from"`
}

type momentLanding struct {
	MetresShort   float64        `json:"metres_short,omitempty"`
	Contributions []Contribution `json:"contributions,omitempty"`
	Chance        float64        `json:"chance"`
	Drawn         float64        `json:"drawn"`
	Clean         bool           `json:"clean"`
}

func (m *Moment) choice(c *sim.Choice) *momentChoice {
	if c == nil {
		return nil
	}
	out := &momentChoice{Clock: tape.FormatClock(c.Clock), Fighter: m.Story.Names[c.Corner], Point: c.At.String(), Gap: c.Gap, Known: knownWords(c.Known),
		Rules: []string{}, Followed: len(c.Rules) > 0 && c.Followed(), Chosen: c.Name()}
	for _, r := range c.Rules {
		out.Rules = append(out.Rules, m.Plans[c.Corner].Rules[r].Name)
	}
	for _, o := range shown(c) {
		out.Options = append(out.Options, momentOption{o.Name, six(o.Usual), six(o.Planned), six(o.Now)})
	}
	if c.At != tactics.Believe {
		drawn := six(c.Drawn)
		out.Drawn = &drawn
	}
	return out
}

// JSON writes the moment as one object. Shares are of the moment; at initiate of a decision tick.
func (m *Moment) JSON(w io.Writer) error {
	e := m.Event
	out := struct {
		Schema   string         `json:"schema"`
		Version  string         `json:"version"`
		Round    int            `json:"round"`
		Clock    string         `json:"clock"`
		Fighter  string         `json:"fighter"`
		Told     string         `json:"told"`
		Begun    *momentChoice  `json:"begun"`
		Believed *momentChoice  `json:"believed"`
		Defended *momentChoice  `json:"defended"`
		Landing  *momentLanding `json:"landing"`
	}{MomentSchema, m.Story.Version, int(e.Round), tape.FormatClock(e.Clock), m.Story.Names[e.Corner], m.Story.tell(e), m.choice(m.Begun),
		m.choice(m.Believed), m.choice(m.Defended), nil}
	if l := m.Landing; l != nil {
		out.Landing = &momentLanding{Chance: six(l.Chance), Drawn: six(l.Drawn), Clean: l.Clean(), MetresShort: float64(max(l.Short, 0)) / 1000}
		for _, c := range m.contributions(l) {
			out.Landing.Contributions = append(out.Landing.Contributions, Contribution{c.Reason, six(c.Points)})
		}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(out)
}
