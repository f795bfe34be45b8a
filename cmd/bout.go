package cmd

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

func boutCommand() *cobra.Command {
	var seed uint64
	var rules, format string
	c := &cobra.Command{
		Use:     "bout",
		Short:   "Tell one simulated bout of the demo",
		Example: "  whatbout bout --seed 3\n  whatbout bout --seed 3 --format tape > coded.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE: func(c *cobra.Command, _ []string) error {
			r, err := tape.RuleSetNamed(rules)
			if err != nil {
				return inputError{err}
			}
			red, blue, err := demo.Profiles()
			if err != nil {
				return err
			}
			b := sim.NewBout()
			b.Setup(r, sim.AverageWorld())
			if err := b.Sides[0].Load(red.Body, red.Centre(), nil, 1, r); err != nil {
				return err
			}
			if err := b.Sides[1].Load(blue.Body, blue.Centre(), nil, 1, r); err != nil {
				return err
			}
			o := b.Run(kernel.NewKey(seed, 0, 0))
			switch format {
			case "tape":
				return tape.WriteCSV(c.OutOrStdout(), b.Events)
			case "json":
				return json.NewEncoder(c.OutOrStdout()).Encode(map[string]any{"outcome": o, "events": b.Events})
			case "text":
				return tell(c.OutOrStdout(), [2]string{red.ID, blue.ID}, b.Events, o)
			}
			return inputError{fmt.Errorf("--format %q; expected text, tape or json", format)}
		},
	}
	c.Flags().Uint64Var(&seed, "seed", 1, "seed")
	c.Flags().StringVar(&rules, "rules", "mma-3x5", "rule set")
	c.Flags().StringVar(&format, "format", "text", "text, tape or json")
	return c
}

// tell writes a bout down in plain words, one line an act.
func tell(w io.Writer, names [2]string, events []tape.Event, o sim.Outcome) error {
	var b strings.Builder
	zone := [2]string{"out", "out"}
	for i := range events {
		e := &events[i]
		if e.Act == tape.StateRange && e.Corner < 2 {
			zone[e.Corner] = e.Value.String()
		}
		if e.Act.IsState() || e.Corner == tape.NoCorner {
			continue
		}
		fmt.Fprintf(&b, "R%d %-8s %-8s %-8s %s\n", e.Round, tape.FormatClock(e.Clock/100000*100000), zone[e.Corner], names[e.Corner], phrase(e))
	}
	switch v := o.Verdict; {
	case v.Winner < 0:
		b.WriteString("Draw.\n")
	case v.Method == sim.ByDecision:
		fmt.Fprintf(&b, "%s wins on the cards: %v.\n", names[v.Winner], o.Cards)
	default:
		fmt.Fprintf(&b, "%s wins by %s, round %d, %s.\n", names[v.Winner], v.Method, v.Round, tape.FormatClock(v.Clock/100000*100000))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func phrase(e *tape.Event) string {
	words := []string{strings.ReplaceAll(e.Act.String(), "_", " ")}
	for _, s := range []string{e.Value.String(), e.How.String(), e.Result.String()} {
		if s != "" && s != "set" {
			words = append(words, strings.ReplaceAll(s, "_", " "))
		}
	}
	if e.Defence > tape.DefenceNone {
		words = append(words, "("+strings.ReplaceAll(e.Defence.String(), "_", " ")+")")
	}
	return strings.Join(words, " ")
}
