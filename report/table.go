package report

import (
	"fmt"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"whatbout/study"
)

// section is a table of measures.
type section struct {
	heading string
	times   float64 // scale of what is shown
	digits  int
	names   []string
}

// priceHeading heads what a plan costs, which is always shown.
const priceHeading = "The price"

var sections = []section{
	{"How bouts end, of 100", 100, 1, []string{"win_by_strikes", "win_by_submission", "win_by_decision", "draw", "loss_by_decision",
		"loss_by_submission", "loss_by_strikes"}},
	{priceHeading, 1, 2, []string{"head_strikes_absorbed", "head_strikes_absorbed_per_minute", "head_contacts_absorbed_per_minute",
		"knockdowns_suffered", "loss_by_stoppage"}},
	{"On the way: where, % of time", 100, 1, []string{"time_share_out", "time_share_kicking", "time_share_long", "time_share_pocket",
		"time_share_clinch", "time_share_top", "time_share_bottom", "centre_share", "fence_share"}},
	{"On the way: acts a minute", 1, 2, []string{"steps_back_per_minute", "bites_per_minute", "feints_against_per_minute",
		"hand_fights_won_per_minute", "counters_per_minute", "takedowns", "takedowns_suffered",
		"thrown_straight", "clean_straight", "thrown_looping", "clean_looping", "thrown_low_kick", "clean_low_kick", "thrown_kick", "clean_kick",
		"thrown_against_straight", "clean_against_straight", "thrown_against_looping", "clean_against_looping",
		"thrown_against_low_kick", "clean_against_low_kick", "thrown_against_kick", "clean_against_kick"}},
}

// tables writes every section for every plan.
func (c *Comparison) tables(b *strings.Builder) {
	if len(c.Plans) == 1 {
		return
	}
	for _, s := range sections {
		for _, plan := range c.Plans[1:] {
			c.section(b, s, plan)
		}
	}
	fmt.Fprintf(b, "Resolved: yes, if all doubt leaves the sign; mean only, if the mean is told from none but some possible truths lie on the other side;\n"+
		"no, if the simulation cannot tell the mean from none. Every row is looked at alone: by luck, one in %.0f of those that are none is told.\n"+
		"(sim) marks the simulation interval of the mean, where the draws differ no more than luck does.\n\n", 1/(1-c.Level))
}

func (c *Comparison) section(b *strings.Builder, s section, plan study.PlanResult) {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.OptionsNoBordersAndSeparators
	t.SetStyle(style)
	configs := []table.ColumnConfig{}
	for column := 2; column <= 5; column++ {
		configs = append(configs, table.ColumnConfig{Number: column, Align: text.AlignRight})
	}
	t.SetColumnConfigs(configs)
	t.AppendRow(table.Row{s.heading, c.Plans[0].Name, plan.Name, "difference", fmt.Sprintf("all doubt, %.0f %%", 100*c.Level), "resolved"})
	for _, name := range s.names {
		d := c.find(plan.Name, name)
		t.AppendRow(table.Row{"  " + study.Measures[study.MeasureNamed(name)].Plain, s.number(c.Plans[0].Outcomes[name].Mean),
			s.number(plan.Outcomes[name].Mean), signed(s.times*d.Mean, s.digits), s.interval(d), string(d.SignResolved)})
	}
	for line := range strings.Lines(t.Render()) {
		b.WriteString(strings.TrimRight(strings.TrimPrefix(line, " "), " \n") + "\n")
	}
	b.WriteString("\n")
}

func (s *section) number(x float64) string { return fmt.Sprintf("%.*f", s.digits, s.times*x) }

// interval is the all-doubt interval, or the simulation's where the draws do not tell themselves apart.
func (s *section) interval(d *study.Difference) string {
	low, high, mark := d.AllDoubt.Low, d.AllDoubt.High, ""
	if !told(d.AllDoubt) {
		low, high, mark = d.Simulation.Low, d.Simulation.High, "(sim) "
	}
	return mark + signed(s.times*low, s.digits) + " to " + signed(s.times*high, s.digits)
}
