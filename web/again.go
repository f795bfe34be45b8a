package web

import (
	"fmt"
	"strings"

	"whatbout/tactics"
)

// line is what gives the same answer again: the command, or where no command can, the address of this page.
func (a *asker) line() string {
	st := a.State
	shipped := a.fighter.From == fromProgram && a.opponent.From == fromProgram
	usualPair := shipped && a.q.Fighter == a.Shipped.Fighters[0] && a.q.Opponent == a.Shipped.Fighters[1]
	files := a.fighter.From == fromFolder && a.opponent.From == fromFolder
	line := fmt.Sprintf("whatbout compare --rules %s --seed %d --draws %d --bouts %d --level %g", shellWord(st.Rules), st.Seed, st.Draws, st.Bouts, level)
	for _, m := range st.Moved {
		line += " --set " + shellWord(m.String())
	}
	if files {
		line += " --fighter " + shellWord(a.fighter.Key) + " --opponent " + shellWord(a.opponent.Key)
	}
	plan, plain := a.planWords()
	if st.Pin != nil || !st.Reply.Empty() || !plain || !usualPair && !files {
		return "whatbout serve, and in the browser the address that it prints followed by ?" + st.String()
	}
	return line + plan
}

// planWords name a plan as compare takes it, if it can.
func (a *asker) planWords() (words string, ok bool) {
	t := &a.State.Tactics
	switch {
	case t.Plan == "":
		for _, name := range t.Phrases {
			words += " --rule " + name
		}
		return words, len(t.Phrases) > 0
	case len(t.Without) > 0 || len(t.Phrases) > 0:
		return "", false
	case a.plan.From == fromFolder:
		return " " + shellWord(a.plan.Key), true
	}
	return "", a.plan.From == fromProgram && a.plan.Value == a.Shipped.Plans[0] && a.fighter.From == fromProgram
}

// shellWord quotes a word for a shell where it needs that.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./+,:@=") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// planKey names a shipped plan in an address.
func planKey(p *tactics.Plan) string { return strings.ReplaceAll(p.Name, " ", "-") }
