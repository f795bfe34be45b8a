// Package report puts results into words, tables and files. It decides wording and rounding; what is true is left to study.
package report

import (
	"encoding/json"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
)

// Input names something that was read, by hash.
type Input struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// Comparison is a comparison with everything needed to say it and to run it again.
type Comparison struct {
	Schema       string             `json:"schema"`
	Version      string             `json:"version"`
	Seed         uint64             `json:"seed"`
	Draws        int                `json:"draws"`
	TapeDraws    int                `json:"tape_draws"`
	Bouts        int                `json:"bouts_per_draw"`
	Rules        string             `json:"rules"`
	Fighter      string             `json:"fighter"`
	Opponent     string             `json:"opponent"`
	OpponentPlan string             `json:"opponent_plan"`
	Inputs       []Input            `json:"inputs"`
	Plans        []study.PlanResult `json:"plans"`
	Differences  []study.Difference `json:"differences"`
	Warnings     []string           `json:"warnings"`

	Profile *fighter.Profile   `json:"-"`
	Other   *fighter.Profile   `json:"-"`
	Again   string             `json:"-"`
	Truth   map[string]float64 `json:"truth,omitempty"` // of the win share, by plan; demo only
	Level   float64            `json:"-"`
}

// JSON writes the comparison as one object.
func (c *Comparison) JSON(w io.Writer) error {
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	return out.Encode(roundedCopy(c))
}

// roundedCopy keeps six digits, so that the last bits of a sum do not show.
func roundedCopy(c *Comparison) *Comparison {
	data, err := json.Marshal(c)
	if err != nil {
		panic("report: " + err.Error())
	}
	var out Comparison
	if err := json.Unmarshal(data, &out); err != nil {
		panic("report: " + err.Error())
	}
	for i := range out.Plans {
		for name, d := range out.Plans[i].Outcomes {
			out.Plans[i].Outcomes[name] = roundDoubts(d)
		}
	}
	for i := range out.Differences {
		d := &out.Differences[i]
		d.Doubts = roundDoubts(d.Doubts)
		d.ProbabilityBetter, d.Correlation = six(d.ProbabilityBetter), six(d.Correlation)
	}
	return &out
}

func roundDoubts(d study.Doubts) study.Doubts {
	d.Mean = six(d.Mean)
	for _, i := range []*infer.Interval{&d.Simulation, &d.Tape, &d.AllDoubt} {
		i.Low, i.High, i.Centre = six(i.Low), six(i.High), six(i.Centre)
	}
	return d
}

func six(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("report: " + err.Error())
	}
	return y
}

// CSV writes one row a plan and outcome.
func (c *Comparison) CSV(w io.Writer) error {
	var b strings.Builder
	b.WriteString("plan,outcome,mean,simulation_low,simulation_high,tape_low,tape_high,all_doubt_low,all_doubt_high,difference,probability_better\n")
	for p, plan := range c.Plans {
		for _, m := range study.Measures {
			d := plan.Outcomes[m.Name]
			fmt.Fprintf(&b, "%q,%s,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g", plan.Name, m.Name, d.Mean, d.Simulation.Low, d.Simulation.High,
				d.Tape.Low, d.Tape.High, d.AllDoubt.Low, d.AllDoubt.High)
			if diff := c.find(plan.Name, m.Name); p > 0 && diff != nil {
				fmt.Fprintf(&b, ",%.6g,%.6g\n", diff.Mean, diff.ProbabilityBetter)
			} else {
				b.WriteString(",,\n")
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (c *Comparison) find(plan, outcome string) *study.Difference {
	for i := range c.Differences {
		if d := &c.Differences[i]; d.Plan == plan && d.Outcome == outcome {
			return d
		}
	}
	return nil
}

// Text writes the comparison for a coach.
func (c *Comparison) Text(w io.Writer) error {
	var b strings.Builder
	c.answer(&b)
	c.section(&b, "How bouts end (of 100)", 100, "%.1f", "win_by_strikes", "win_by_submission", "win_by_decision", "draw", "loss_by_decision", "loss_by_submission", "loss_by_strikes")
	c.section(&b, "The price", 1, "%.2f", "head_strikes_absorbed", "head_strikes_absorbed_per_minute", "head_contacts_absorbed_per_minute", "knockdowns_suffered", "loss_by_stoppage")
	c.section(&b, "What changed on the way: where (share of time)", 1, "%.3f", "time_share_out", "time_share_kicking", "time_share_long", "time_share_pocket",
		"time_share_clinch", "time_share_top", "time_share_bottom", "centre_share", "fence_share")
	c.section(&b, "What changed on the way: acts (per minute; takedowns per bout)", 1, "%.2f", "steps_back_per_minute", "bites_per_minute", "feints_against_per_minute",
		"hand_fights_won_per_minute", "counters_per_minute", "takedowns", "takedowns_suffered",
		"thrown_straight", "clean_straight", "thrown_looping", "clean_looping", "thrown_low_kick", "clean_low_kick", "thrown_kick", "clean_kick",
		"thrown_against_straight", "clean_against_straight", "thrown_against_looping", "clean_against_looping",
		"thrown_against_low_kick", "clean_against_low_kick", "thrown_against_kick", "clean_against_kick")
	c.evidence(&b)
	for _, warning := range c.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d, %d draws of both doubts and %d of tape doubt alone, %d bouts a draw and plan. Again: %s\n\n%s", c.Seed, c.Draws, c.TapeDraws, c.Bouts, c.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// Cautions stand under everything that whatbout prints.
const Cautions = `Cautions. This is a model, not a forecast of a bout, and no betting advice. Strikes to the head do harm, in sparring too: drill a plan,
do not test it in hard sparring. Medical clearance, the local rules, licensed officials and doctors come before any plan.
`

func (c *Comparison) answer(b *strings.Builder) {
	base := c.Plans[0]
	fmt.Fprintf(b, "%s against %s, %s\n\n", title(c.Fighter), title(c.Opponent), c.Rules)
	for _, plan := range c.Plans[1:] {
		win := c.find(plan.Name, "win")
		fmt.Fprintf(b, "Of 100 such bouts %s wins %.0f %s and %.0f with %q.\n", title(c.Fighter), 100*base.Outcomes["win"].Mean, base.Name,
			100*plan.Outcomes["win"].Mean, plan.Name)
		if plan.Intent != "" {
			fmt.Fprintf(b, "The plan: %s.\n", plan.Intent)
		}
		fmt.Fprintf(b, "\nThe difference is %+.1f bouts in 100.\n", 100*win.Mean)
		pct := 100 * c.Level
		fmt.Fprintf(b, "  simulation: %s (%.0f %% confidence interval of the mean; more bouts would shrink it)\n", points(win.Simulation.Low, win.Simulation.High), pct)
		fmt.Fprintf(b, "  tape:       %s (only more coded tape would shrink it)\n", resolved(win.TapeResolved, win.Tape))
		fmt.Fprintf(b, "  all doubt:  %s (tape and assumptions; what is beyond the tape interval, neither bouts nor tape would shrink)\n",
			resolved(win.AllDoubtResolved, win.AllDoubt))
		if win.AllDoubtResolved {
			fmt.Fprintf(b, "Given this model, the chance that the plan is better at all: %.0f %%.\n", 100*win.ProbabilityBetter)
		} else {
			b.WriteString("The chance that the plan is better at all: not resolved; more bouts a draw would tell.\n")
		}
		margin := c.find(plan.Name, "score_margin")
		fmt.Fprintf(b, "Judges' margin per bout, finished rounds: %+.2f points %s, %+.2f with the plan (difference %+.2f, simulation %+.2f to %+.2f).\n",
			base.Outcomes["score_margin"].Mean, base.Name, plan.Outcomes["score_margin"].Mean, margin.Mean, margin.Simulation.Low, margin.Simulation.High)
		fmt.Fprintf(b, "Pairs on the same luck: %d, correlation of winning %.2f.\n", win.Pairs, win.Correlation)
		if truth, ok := c.Truth[plan.Name]; ok {
			fmt.Fprintf(b, "The truth of the demo, known because it is invented: %.1f bouts in 100 %s, %.1f with the plan (difference %+.1f).\n",
				100*c.Truth[base.Name], base.Name, 100*truth, 100*(truth-c.Truth[base.Name]))
		}
		b.WriteString("\n")
	}
}

func points(low, high float64) string { return fmt.Sprintf("%+.1f to %+.1f", 100*low, 100*high) }

// resolved says an interval over draws, or that the draws differ no more than the luck of their bouts does.
func resolved(yes bool, i infer.Interval) string {
	if yes {
		return points(i.Low, i.High)
	}
	return "not resolved: the draws differ no more than luck does; more bouts a draw would tell"
}

func title(id string) string { return strings.ToUpper(id[:1]) + id[1:] }

func (c *Comparison) section(b *strings.Builder, heading string, times float64, format string, names ...string) {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.OptionsNoBordersAndSeparators
	t.SetStyle(style)
	header := table.Row{heading}
	for _, p := range c.Plans {
		header = append(header, p.Name)
	}
	if len(c.Plans) > 1 {
		header = append(header, "difference, all doubt")
	}
	t.AppendRow(header)
	for _, name := range names {
		m := study.Measures[study.MeasureNamed(name)]
		row := table.Row{"  " + m.Plain}
		for _, p := range c.Plans {
			row = append(row, fmt.Sprintf(format, times*p.Outcomes[name].Mean))
		}
		if len(c.Plans) > 1 {
			d := c.find(c.Plans[len(c.Plans)-1].Name, name)
			row = append(row, change(d, times))
		}
		t.AppendRow(row)
	}
	b.WriteString(t.Render())
	b.WriteString("\n\n")
}

// change is a difference with its all-doubt interval, or with its simulation interval where the draws do not tell themselves apart.
func change(d *study.Difference, times float64) string {
	if d.AllDoubtResolved {
		return fmt.Sprintf("%+.2f (%+.2f to %+.2f)", times*d.Mean, times*d.AllDoubt.Low, times*d.AllDoubt.High)
	}
	return fmt.Sprintf("%+.2f (simulation %+.2f to %+.2f)", times*d.Mean, times*d.Simulation.Low, times*d.Simulation.High)
}

// evidence says what rests on little tape.
func (c *Comparison) evidence(b *strings.Builder) {
	for _, p := range []*fighter.Profile{c.Profile, c.Other} {
		if p == nil {
			continue
		}
		tape, population, assumption := 0, 0, 0
		var thin []string
		for f := range p.Figures {
			if p.Figures[f].A == 0 {
				continue
			}
			switch p.Sources[f] {
			case fighter.FromTape:
				tape++
			case fighter.FromAssumption:
				assumption++
			default:
				population++
			}
			if d := fighter.Define(fighter.Figure(f)); d.Law == fighter.Skill && p.Sources[f] != fighter.FromTape {
				thin = append(thin, d.Name)
			}
		}
		sort.Strings(thin)
		fmt.Fprintf(b, "What %s rests on: %d figures moved by tape, %d from the population, %d assumptions (reaction, retraction, power, chin, tiring: tape cannot show them).\n",
			title(p.ID), tape, population, assumption)
		if len(thin) > 0 {
			fmt.Fprintf(b, "  Skills without tape, population only: %s.\n", strings.Join(thin, ", "))
		}
	}
}
