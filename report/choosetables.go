package report

import (
	"fmt"
	"sort"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"whatbout/study"
)

// rightTable is a table whose columns but the first stand to the right.
func rightTable(columns int) table.Writer {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.OptionsNoBordersAndSeparators
	t.SetStyle(style)
	configs := []table.ColumnConfig{}
	for column := 2; column <= columns; column++ {
		configs = append(configs, table.ColumnConfig{Number: column, Align: text.AlignRight})
	}
	t.SetColumnConfigs(configs)
	return t
}

// standings is the table of plans, those that may be chosen first, by their gain.
func (c *Choice) standings(b *strings.Builder) {
	order := append([]study.Contender(nil), c.Plans...)
	sort.SliceStable(order, func(i, j int) bool {
		if order[i].Barred != order[j].Barred {
			return order[j].Barred
		}
		return order[i].Gain.Mean > order[j].Gain.Mean
	})
	t := rightTable(8)
	t.AppendRow(table.Row{"Plans, " + c.Unit, "value", "gain", "simulation", "best with", "expected loss", "less best of others", "draws"})
	for _, p := range order {
		chance, loss, against := percent(p.Chance)+fmt.Sprintf(" ± %.0f", max(100*p.ChanceError, 1)), c.hundred(p.Loss), signed(100*p.Against[0], 1)+" to "+signed(100*p.Against[1], 1)
		if p.Barred {
			chance, loss, against = "kept out", "", ""
		}
		gain, simulation := signed(100*p.Gain.Mean, 1), signed(100*p.Gain.Simulation.Low, 1)+" to "+signed(100*p.Gain.Simulation.High, 1)
		if p.Name == c.Plans[0].Name {
			gain, simulation = "", ""
		}
		t.AppendRow(table.Row{"  " + p.Name, c.hundred(p.Value), gain, simulation, chance, loss, against, p.Draws})
	}
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(b, "Simulation: %.0f %% for all plans together, at whatever look the bouts stopped. Best with: the chance, over all doubt and given the model, of\n"+
		"being the best of those that may be chosen (± one standard error). Expected loss: what taking it gives away on average against knowing the\n"+
		"truth, over all doubt. Less best of others: multiple comparisons with the best, as sure together as the simulation intervals; an upper end of\n"+
		"0 rules a plan out as the best on average.\n\n", 100*c.Level)
}

// frontier is gain against price, cheapest first.
func (c *Choice) frontier(b *strings.Builder) {
	order := append([]study.Contender(nil), c.Plans...)
	head := func(p *study.Contender) float64 {
		if len(p.Prices) == 0 {
			return 0
		}
		return p.Prices[0].Difference
	}
	sort.SliceStable(order, func(i, j int) bool { return head(&order[i]) < head(&order[j]) })
	t := rightTable(5)
	header := table.Row{"Gain against price", "gain, " + c.Unit}
	for _, p := range c.Plans[len(c.Plans)-1].Prices {
		_, _, per := priceScale(p.Outcome)
		header = append(header, priceWords(p.Outcome)+", "+per)
	}
	t.AppendRow(append(header, ""))
	for _, p := range order {
		mark, last := "* ", ""
		if !p.Frontier {
			mark, last = "  ", "beaten by "+p.BeatenBy
		}
		row := table.Row{mark + p.Name, signed(100*p.Gain.Mean, 1)}
		for i := range c.Plans[len(c.Plans)-1].Prices {
			row = append(row, priceCell(&p, i))
		}
		t.AppendRow(append(row, last))
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString("* is on the frontier: by the means no other plan gains as much for no more of every price. (?) is not told from as usual.\n\n")
}

func priceCell(p *study.Contender, i int) string {
	if len(p.Prices) == 0 {
		return ""
	}
	mark := ""
	if s := p.Prices[i].Stand; s == study.NotTold || s == study.MayRaise {
		mark = " (?)"
	}
	times, digits, _ := priceScale(p.Prices[i].Outcome)
	return signed(times*p.Prices[i].Difference, digits) + mark
}

// nothingToChoose is said where harm leaves one plan.
const nothingToChoose = "There is nothing to choose between: no more bouts and no tape can change the choice while the price rule stands."

// buys says what of the expected loss bouts could take away, and what only tape could.
func (c *Choice) buys(b *strings.Builder) {
	if c.Remaining.Plans < 2 {
		b.WriteString(nothingToChoose + "\n\n")
		return
	}
	fmt.Fprintf(b, "What knowing more could win over taking %s, %s:\n", c.named(c.Leader), c.Unit)
	for _, x := range c.buyLines() {
		fmt.Fprintf(b, "  %-18s %s\n", x[0]+":", x[1])
	}
	b.WriteString("\n")
}

// buyLines are what could be known with what it could win.
func (c *Choice) buyLines() [][2]string {
	lead := c.find(c.Leader)
	tape := bought(&c.Tape) + " (assumptions at their centres; no tape, however much, wins more)"
	switch {
	case c.Tape.Draws == 0 && c.Partial:
		tape = "not played (interrupted)"
	case c.Tape.Draws == 0:
		tape = "nothing: no other plan is in question"
	}
	return [][2]string{
		{"more bouts", fmt.Sprintf("%.2f on average (held below %.2f; asked: %.2f)", 100*lead.Simulation, 100*c.Bound, 100*c.Tolerance)},
		{"the whole truth", fmt.Sprintf("%s (tape and assumptions, %d plans that may be chosen)", bought(&c.Remaining), c.Remaining.Plans)},
		{"all of the tape", tape},
	}
}

func bought(x *study.Buys) string {
	if !x.Resolved {
		return "not resolved: the truths differ by no more than the luck of their bouts"
	}
	word := ""
	if x.Gain < 2*x.Error {
		word = ", not told from none"
	}
	return fmt.Sprintf("%.1f ± %.1f%s", 100*x.Gain, 100*x.Error, word)
}

func howMany(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// work says what was played and what plainer ways take.
func (c *Choice) work(b *strings.Builder) {
	b.WriteString(wrapped(c.workSentence(), textWidth, "") + "\n")
}

func (c *Choice) workSentence() string {
	return fmt.Sprintf("Played: %d bouts in %s, %d a draw, and %d of tape doubt alone. With equal shares: %d. Unpaired in two stages, to pick a plan that leads by the tolerance with 95 %% (Rinott): %d.",
		c.Work.Bouts, howMany(c.Looks, "look"), c.Bouts, c.Work.Tape, c.Work.Equal, c.Work.TwoStage)
}
