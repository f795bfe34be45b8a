package cmd

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/plans"
	"whatbout/report"
	"whatbout/tactics"
	"whatbout/tape"
)

// given is what a comparison is about, with what was read to know it.
type given struct {
	demo         bool
	red, blue    *fighter.Profile
	joint        *fighter.Joint // of both; may be nil
	notes        []string
	plans        []*tactics.Plan // the baseline first
	opponentPlan *tactics.Plan
	rules        *tape.RuleSet
	inputs       []report.Input
	again        string
	faults       []error
	// populations were given for profiles to stand on; stood says which of them a profile names.
	populations []*fighter.PopulationFile
	stood       map[*fighter.PopulationFile]bool
	unstood     []*fighter.Profile // on populations that were not given
}

// twoFighters refuses a fighter against themselves.
func (g *given) twoFighters() {
	if g.red != nil && g.blue != nil && g.red.ID == g.blue.ID {
		g.faults = append(g.faults, fmt.Errorf("both corners are %q; name two different fighters", g.red.ID))
	}
}

// distinct refuses two plans of one name: results are told apart by it.
func (g *given) distinct(plans []*tactics.Plan) {
	seen := map[string]bool{}
	for _, p := range plans {
		if p != nil && seen[p.Name] {
			g.faults = append(g.faults, fmt.Errorf("two plans are called %q; give each a name of its own", p.Name))
		}
		if p != nil {
			seen[p.Name] = true
		}
	}
}

// fromDemo calibrates the demo; its files stand before those of the user.
func (g *given) fromDemo() {
	files, err := demo.Inputs()
	g.faults = append(g.faults, err)
	var inputs []report.Input
	for _, name := range slices.Sorted(maps.Keys(files)) {
		inputs = append(inputs, report.Input{Name: name, SHA256: input.SHA256(files[name])})
	}
	g.inputs = append(inputs, g.inputs...)
	pair, err := demo.Pair()
	if g.faults = append(g.faults, err); err == nil {
		g.red, g.blue, g.joint = pair.Red, pair.Blue, pair.Joint
	}
}

// together reads the joint part that both profiles name. If they name none, or not the same, their skills are drawn each for itself.
func (g *given) together(fighterFile, opponentFile string) {
	if g.red == nil || g.blue == nil || g.red.JointFile == "" || g.blue.JointFile == "" {
		return
	}
	file := filepath.Join(filepath.Dir(fighterFile), g.red.JointFile)
	if other := filepath.Join(filepath.Dir(opponentFile), g.blue.JointFile); other != file {
		g.notes = append(g.notes, fmt.Sprintf("the profiles name two joint parts (%s, %s): what the skills of both share is not known, and they are drawn apart.", file, other))
		return
	}
	data, err := input.ReadFile(file, 8<<20)
	g.faults = append(g.faults, err)
	if err != nil {
		return
	}
	g.inputs = append(g.inputs, report.Input{Name: file, SHA256: input.SHA256(data)})
	joint, err := fighter.ReadJoint(file, data)
	if g.faults = append(g.faults, err); err == nil {
		_, err = fighter.JoinPair(g.red, g.blue, joint)
		g.joint, g.faults = joint, append(g.faults, err)
	}
}

// open reads a file and notes its hash and how it was named.
func (g *given) open(flag, file string) []byte {
	data, err := input.ReadFile(file, 8<<20)
	g.faults = append(g.faults, err)
	g.inputs = append(g.inputs, report.Input{Name: file, SHA256: input.SHA256(data)})
	if flag != "" {
		g.again += " " + flag
	}
	g.again += " " + shellWord(file)
	return data
}

// shellWord quotes a file's name for a shell where it needs that.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./+,:@=") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// ruleSet takes a built-in rule set by its name, or reads a file.
func (g *given) ruleSet(name string) {
	data, unknown := tape.RuleSetFile(name)
	if unknown == nil {
		g.inputs = append(g.inputs, report.Input{Name: "rulesets/" + name + ".yaml", SHA256: input.SHA256(data)})
		g.rules, unknown = tape.RuleSetNamed(name)
		g.faults = append(g.faults, unknown)
		return
	}
	if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
		g.faults = append(g.faults, fmt.Errorf("%w; and there is no such file", unknown))
		return
	}
	if data := g.open("--rules", name); data != nil {
		r, err := tape.ReadRuleSet(name, data)
		g.rules, g.faults = r, append(g.faults, err)
	}
}

func (g *given) profile(flag, file string) *fighter.Profile {
	data := g.open(flag, file)
	if data == nil {
		return nil
	}
	p, err := fighter.ReadProfile(file, data)
	if g.faults = append(g.faults, err); p != nil {
		g.stand(p, file)
	}
	return p
}

func (g *given) plan(flag, file string) *tactics.Plan {
	data := g.open(flag, file)
	if data == nil {
		return nil
	}
	p, err := tactics.Read(file, data)
	g.faults = append(g.faults, err)
	return p
}

// named makes one plan of named rules.
func (g *given) named(names []string) *tactics.Plan {
	for _, name := range names {
		g.again += " --rule " + shellWord(name)
	}
	return g.ofRules(names)
}

// rulePlan makes a plan of named rules joined by +.
func (g *given) rulePlan(text string) *tactics.Plan {
	g.again += " --rule-plan " + shellWord(text)
	return g.ofRules(strings.Split(text, "+"))
}

func (g *given) ofRules(names []string) *tactics.Plan {
	var parts []*tactics.Plan
	var called []string
	for _, name := range names {
		data, err := plans.Read(name)
		if err != nil {
			g.faults = append(g.faults, fmt.Errorf("%w; %s", err, input.DidYouMean(name, plans.Names())))
			continue
		}
		g.inputs = append(g.inputs, report.Input{Name: "plans/" + name + ".yaml", SHA256: input.SHA256(data)})
		p, err := tactics.Read(name, data)
		g.faults = append(g.faults, err)
		if p != nil {
			parts, called = append(parts, p), append(called, p.Name)
		}
	}
	return tactics.Combine(strings.Join(called, " + "), parts...)
}

// planName names a plan; none is as usual.
func planName(p *tactics.Plan) string {
	if p == nil {
		return demo.AsUsual.Name
	}
	return p.Name
}

// underRules names a built-in rule set for the line that does the same again; a file stands there already.
func (g *given) underRules() string {
	if strings.Contains(g.again, " --rules ") {
		return ""
	}
	return " --rules " + g.rules.Name
}

const demoNote = "the demo is invented: fighters, styles and bouts are our own; its tape was made by the engine."

// warnings are what every study of plans says under its figures.
func (g *given) warnings(partial bool) (out []string) {
	if g.demo {
		out = append(out, demoNote)
	}
	out = append(out, report.UsualNote)
	out = append(out, g.notes...)
	for _, p := range g.unstood {
		out = append(out, fmt.Sprintf("%s stands on the population %s; what more tape would tell is reckoned from the program's own (compare, choose and next take that file as --population).", p.ID, p.Population))
	}
	for _, p := range append(slices.Clone(g.plans), g.opponentPlan) {
		out = append(out, report.Followed(p)...)
	}
	if partial {
		out = append(out, "interrupted: the figures rest on the draws that were finished; the line below plays them all.")
	}
	return out
}
