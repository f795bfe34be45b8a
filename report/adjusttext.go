package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/internal/infer"
	"whatbout/study"
)

// Text writes it for a coach.
func (a *Adjust) Text(w io.Writer) error {
	var b strings.Builder
	if a.AcceptHarm {
		b.WriteString("HARM ACCEPTED (--accept-harm): plans that raise head strikes absorbed, knockdowns suffered or stoppage losses may be used here.\n\n")
	}
	fmt.Fprintf(&b, "%s against %s, %s: what if they adjust?\n\n", title(a.Fighter), title(a.Opponent), a.Rules)
	a.verdict(&b)
	a.unadjusted(&b)
	a.keptOut(&b)
	b.WriteString("\n")
	a.met(&b)
	a.options(&b, "Your plans, bouts in 100", "they as usual", a.Yours)
	a.options(&b, "Their plans, as they see it", "you as usual", a.Theirs)
	fmt.Fprintf(&b, "Share: of the best mixture, in %%, with its simulation interval (%.0f %%). As good: shares that give away at most %s bouts in 100, the other\n"+
		"shares following. Falls to: what it wins when it is played always and they answer with what is worst for it (in brackets: simulation). Gives\n"+
		"away: how far it can be exploited like that, against the best mixture.\n\n", 100*a.Level, tenth(a.Slack))
	a.odd(&b)
	a.sure(&b)
	a.knowing(&b)
	a.work(&b)
	for _, warning := range a.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", a.Seed, a.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// tenth is a share as bouts in 100, with one digit.
func tenth(x float64) string { return fmt.Sprintf("%.1f", 100*x) }

// mixed are the options that the best mixture uses.
func mixed(options []study.Option) (out []*study.Option) {
	for i := range options {
		if options[i].Share.Share.Centre > 0 {
			out = append(out, &options[i])
		}
	}
	return out
}

func aloud(name string) string {
	if name == "as usual" {
		return name
	}
	return "\"" + name + "\""
}

// verdict is the answer: a plan, or a lot to draw.
func (a *Adjust) verdict(b *strings.Builder) {
	if close := a.tooClose(); close != "" {
		b.WriteString("Too close to call. " + close + " By the means:\n")
	}
	yours, theirs := mixed(a.Yours), mixed(a.Theirs)
	switch safe := a.safe(); {
	case len(yours) == 1:
		fmt.Fprintf(b, "%s, every time: they may know it. Whatever they answer with of their plans here, you win at least %s of 100 bouts\n"+
			"on average (simulation %s to %s)", take(yours[0]), tenth(a.Value.Centre), tenth(a.Value.Low), tenth(a.Value.High))
		if a.Saddle && len(theirs) == 1 {
			fmt.Fprintf(b, "; their best answer is %s.\nNeither side gains by leaving these two (a saddle point).\n", aloud(theirs[0].Name))
		} else {
			b.WriteString(".\n")
		}
	case safe != nil:
		fmt.Fprintf(b, "%s, every time, is good enough: even if they know it and answer with %s, you win %s of 100 bouts, and the best lot\n"+
			"between your plans wins %s more (simulation %s to %s). That lot is:\n", take(safe), aloud(safe.Reply), tenth(safe.Floor.Centre), tenth(safe.Given.Centre),
			tenth(safe.Given.Low), tenth(safe.Given.High))
		a.lot(b, yours)
	default:
		b.WriteString("No single plan is safe once they know it. Be unpredictable: draw by lot before the bout which plan to drill and follow,\n")
		a.lot(b, yours)
	}
}

func take(o *study.Option) string {
	if o.Name == "as usual" {
		return "Fight as usual"
	}
	return "Take " + aloud(o.Name)
}

// safe is the plan that gives least away when it is played always, if that is no more than the slack.
func (a *Adjust) safe() (best *study.Option) {
	for i := range a.Yours {
		if o := &a.Yours[i]; !o.Barred && o.Same == "" && o.Given.Centre <= a.Slack && (best == nil || o.Given.Centre < best.Given.Centre) {
			best = o
		}
	}
	return best
}

// lot says a mixture and what it means.
func (a *Adjust) lot(b *strings.Builder, yours []*study.Option) {
	for _, o := range yours {
		fmt.Fprintf(b, "  %s in %s\n", aloud(o.Name), tenths(o.Share.Share.Centre))
	}
	fmt.Fprintf(b, "Draw it with a die and not by feel, and tell nobody outside the camp: what can be foreseen can be answered. Then, whatever they answer\n"+
		"with of their plans here, you win at least %s of 100 bouts on average (simulation %s to %s).\n", tenth(a.Value.Centre), tenth(a.Value.Low), tenth(a.Value.High))
	for _, o := range yours {
		fmt.Fprintf(b, "If they know that it is %s and answer with %s, it falls to %s.\n", aloud(o.Name), aloud(o.Reply), tenth(o.Floor.Centre))
	}
}

// tooClose says that the bouts do not tell the fighter's plans apart; "" if they do.
func (a *Adjust) tooClose() string {
	n := 0
	for _, o := range a.Yours {
		if o.Barred || o.Same != "" {
			continue
		}
		if n++; o.Given.Low > 0 {
			return ""
		}
	}
	if n < 2 {
		return ""
	}
	return "None of your plans is shown to give anything away, so any may be best; more --draws would tell."
}

// tenths says a share as so many of ten.
func tenths(x float64) string {
	if n := math.Round(10 * x); n >= 1 && n <= 9 {
		return fmt.Sprintf("%.0f of 10 (%s)", n, percent(x))
	}
	return fmt.Sprintf("about %.0f of 100", max(math.Round(100*x), 1))
}

// unadjusted says what not adjusting would change.
func (a *Adjust) unadjusted(b *strings.Builder) {
	var best *study.Option
	for i := range a.Yours {
		if o := &a.Yours[i]; !o.Barred && (best == nil || o.Usual > best.Usual) {
			best = o
		}
	}
	if best == nil {
		return
	}
	fmt.Fprintf(b, "If they fight as usual all the same, you win %s with this", tenth(a.Usual))
	if best.Usual-a.Usual < .0005 {
		b.WriteString(", and no plan here wins more.\n")
		return
	}
	fmt.Fprintf(b, ". Most would then be won with %s: %s; but once they answer\nwith %s it falls to %s.\n", aloud(best.Name), tenth(best.Usual),
		aloud(best.Reply), tenth(best.Floor.Centre))
}

// keptOut names what a price bars.
func (a *Adjust) keptOut(b *strings.Builder) {
	told := false
	for i := range a.Yours {
		o := &a.Yours[i]
		lines := harms(o.Prices, study.Raises, study.MayRaise)
		if len(lines) == 0 || !o.Barred && !a.AcceptHarm {
			continue
		}
		if !told {
			told = true
			if a.AcceptHarm {
				b.WriteString("What plans cost, over all of their answers alike:\n")
			} else {
				b.WriteString("Kept out by what they cost, over all of their answers alike (--accept-harm lets them in):\n")
			}
		}
		fmt.Fprintf(b, "  %s:\n    %s\n", title(o.Name), strings.Join(lines, "\n    "))
	}
}

// met is the matrix.
func (a *Adjust) met(b *strings.Builder) {
	t := rightTable(len(a.Theirs) + 1)
	head := table.Row{"Won of 100"}
	for j := range a.Theirs {
		head = append(head, letter(j))
	}
	t.AppendRow(head)
	widest := &a.Met[0][0]
	for i, o := range a.Yours {
		row := table.Row{"  " + o.Name}
		for j := range a.Theirs {
			m, mark := &a.Met[i][j], ""
			if m.AllDoubt.Width() > widest.AllDoubt.Width() {
				widest = m
			}
			if o.Reply == a.Theirs[j].Name {
				mark = "*"
			}
			row = append(row, fmt.Sprintf("%s%s ± %s", mark, tenth(m.Mean), tenth(m.Simulation.Half())))
		}
		t.AppendRow(row)
	}
	b.WriteString(trimmed(t) + "\n")
	for j, o := range a.Theirs {
		fmt.Fprintf(b, "  %s: they fight %s\n", letter(j), quoted(o.Name))
	}
	fmt.Fprintf(b, "* is their best answer to that plan. Half of the bouts that nobody wins are counted. ±: simulation, %.0f %%; differences are told better,\n"+
		"since all meetings are on the same luck. All doubt about one of these numbers: %s.\n\n", 100*a.Level, level(&widest.AllDoubt, "the widest"))
}

// options is the table of one side's plans.
func (a *Adjust) options(b *strings.Builder, heading, usual string, options []study.Option) {
	t := rightTable(7)
	t.AppendRow(table.Row{heading, "share", "", "as good", usual, "falls to", "", "gives away"})
	for i := range options {
		o := &options[i]
		share, interval, as, given := fmt.Sprintf("%.0f", 100*o.Share.Share.Centre), fmt.Sprintf("%.0f to %.0f", 100*o.Share.Share.Low, 100*o.Share.Share.High),
			fmt.Sprintf("%.0f to %.0f", 100*o.As.Low, 100*o.As.High), fmt.Sprintf("%s (%s to %s)", tenth(o.Given.Centre), tenth(o.Given.Low), tenth(o.Given.High))
		switch {
		case o.Barred:
			share, interval, as, given = "kept out", "", "", ""
		case o.Same != "":
			share, interval, as = "see "+o.Same, "", ""
		}
		t.AppendRow(table.Row{"  " + o.Name, share, interval, as, tenth(o.Usual), fmt.Sprintf("%s (%s to %s)", tenth(o.Floor.Centre), tenth(o.Floor.Low), tenth(o.Floor.High)),
			"by " + o.Reply, given})
	}
	b.WriteString(trimmed(t) + "\n\n")
}

// odd names what is degenerate: plans that are the same, plans that are never better, and mixtures that are as good.
func (a *Adjust) odd(b *strings.Builder) {
	before := b.Len()
	var perhaps []string
	for side, options := range [][]study.Option{a.Yours, a.Theirs} {
		whose := []string{"your", "their"}[side]
		for _, o := range options {
			switch {
			case o.Same != "":
				fmt.Fprintf(b, "%s plan %s changes nothing here against %s: every bout ended the same.\n", capital(whose), aloud(o.Name), aloud(o.Same))
			case o.Beaten != "" && o.Told:
				fmt.Fprintf(b, "%s plan %s is worse than %s whatever the other side does.\n", capital(whose), aloud(o.Name), aloud(o.Beaten))
			case o.Beaten != "":
				perhaps = append(perhaps, fmt.Sprintf("%s %s (than %s)", whose, aloud(o.Name), aloud(o.Beaten)))
			}
		}
		if a.Several[side] {
			fmt.Fprintf(b, "Many of %s mixtures are exactly as good; the shares above are the first found.\n", whose)
		}
	}
	if perhaps != nil {
		b.WriteString(wrapped("By the means nowhere better than another, though these bouts do not tell them apart everywhere: "+list(perhaps)+".", textWidth, ""))
	}
	if b.Len() > before {
		b.WriteString("\n")
	}
}

// sure says all doubts about the value apart.
func (a *Adjust) sure(b *strings.Builder) {
	fmt.Fprintf(b, "How sure: %s of 100 when both mix as well as they can.\n", tenth(a.Value.Centre))
	fmt.Fprintf(b, "  simulation:  %s to %s (%.0f %%, whichever mixtures are really best; more bouts shrink it)\n", tenth(a.Value.Low), tenth(a.Value.High), 100*a.Level)
	if !a.Partial {
		fmt.Fprintf(b, "  tape:        %s\n", level(&a.Tape, "what the tape leaves possible"))
	}
	fmt.Fprintf(b, "  all doubt:   %s\n", level(&a.AllDoubt, "tape and assumptions, both keeping to these mixtures"))
	fmt.Fprintf(b, "  luck:        a single bout still goes either way: a standard deviation of %.0f\n", 100*a.Luck)
	fmt.Fprintf(b, "The mixtures were picked on the bouts that they are judged by, which flatters whoever has more to pick from. Tried on draws that they were not\n"+
		"picked on, your mixture gets at least %s and theirs holds you to %s; what the game is really worth lies between, on average.\n\n", tenth(a.Tried[0]), tenth(a.Tried[1]))
}

// level says an interval of a level over draws.
func level(s *infer.Spreading, meaning string) string {
	if told(*s) {
		return fmt.Sprintf("%s to %s (%s)", tenth(s.Low), tenth(s.High), meaning)
	}
	return fmt.Sprintf("not resolved: the draws differ no more than luck does (standard deviation at most %s)", tenth(s.AtMost))
}

// knowing says what hangs on what nobody knows.
func (a *Adjust) knowing(b *strings.Builder) {
	k := &a.Knowing
	t := rightTable(4)
	t.AppendRow(table.Row{"If the truth were known", "in the best mixture in", "alone in", "share there, %"})
	for side, options := range [][]study.Option{a.Yours, a.Theirs} {
		for i := range options {
			if o := &options[i]; o.Same == "" && !o.Barred {
				t.AppendRow(table.Row{"  " + []string{"you ", "they "}[side] + quoted(o.Name), percent(o.InTruths), percent(o.Alone),
					fmt.Sprintf("%.0f to %.0f", 100*o.Truths.Low, 100*o.Truths.High)})
			}
		}
	}
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(b, "Of possible truths, with the luck of bouts taken out. Were both to know it, the game would be worth %s to %s to you (%.0f %% of truths).\n",
		tenth(k.Value.Low), tenth(k.Value.High), 100*a.Level)
	if !k.Resolved {
		b.WriteString("What sets plans apart differs between truths by no more than luck can do: take these shares with care; more --draws would tell.\n")
	}
	fmt.Fprintf(b, "To know it alone, while the other keeps to the mixture, is worth %s bouts in 100 to you and %s to them (in brackets: simulation).\n\n", worth(k.You), worth(k.Them))
}

// work says what was played and what the plain way takes.
func (a *Adjust) work(b *strings.Builder) {
	fmt.Fprintf(b, "Played: %d bouts, %d draws of %d for each of %d × %d meetings, and those of tape doubt alone. All are on the same luck: ", a.Played, a.Draws, a.Bouts,
		len(a.Yours), len(a.Theirs))
	if a.Saved == 0 {
		b.WriteString("no plan differs\nfrom as usual in any bout.\n")
	} else {
		fmt.Fprintf(b, "on luck of their\nown, telling your plans from as usual as well would take %.1f times the bouts.\n", a.Saved)
	}
	b.WriteString("A mixture is of plans chosen before the bout; changing plans within it, as what the other does is seen, is not played here.\n")
}
