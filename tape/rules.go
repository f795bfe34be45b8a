package tape

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"whatbout/internal/input"
)

// RulesFormat is the format of rule set files.
const RulesFormat = "whatbout.rules/1"

// Area is the fighting area: a circle, a regular polygon or a square.
type Area struct {
	Shape    string  // circle, polygon or square
	Sides    int     // of a polygon (3 to 64); 4 for a square, 0 for a circle
	Diameter float64 // m between opposite sides, inside the fence or ropes; 2 to 30
}

// RuleSet is what a bout is fought under. Scoring is not part of it: the judges of sim follow one set of criteria.
type RuleSet struct {
	Name                      string
	Rounds                    int // 1 to 15
	RoundSeconds, RestSeconds int // 1 to 3600; 0 to 3600
	Area                      Area
	Allowed                   [NumMoves]bool // NoMove is always allowed
	Clinch, Ground            bool           // whether the pair may stay there
	BreakSeconds              float64        // the referee separates a clinch after this long without work (.5 to 3600); 0 without a clinch
	StandUpSeconds            float64        // and stands a ground phase up after this long (.5 to 3600); 0 without ground
	Count                     bool           // a knocked-down fighter gets a count of eight instead of being followed to the ground
	MaxKnockdowns             int            // in a round, to 100; 0: no limit
}

//go:embed rulesets/*.yaml
var ruleFiles embed.FS

// builtIn reads the embedded rule sets once, by name.
var builtIn = sync.OnceValue(func() map[string]*RuleSet {
	entries, err := ruleFiles.ReadDir("rulesets")
	if err != nil {
		panic(fmt.Sprintf("tape: embedded rule sets: %v", err))
	}
	out := map[string]*RuleSet{}
	for _, entry := range entries {
		data, readErr := ruleFiles.ReadFile("rulesets/" + entry.Name())
		r, faults := ReadRuleSet(entry.Name(), data)
		if readErr != nil || faults != nil || r.Name+".yaml" != entry.Name() {
			panic(fmt.Sprintf("tape: embedded rule set %s: %v %v", entry.Name(), readErr, faults))
		}
		out[r.Name] = r
	}
	return out
})

// RuleSetNamed gives a copy of a built-in rule set; the error lists the names there are.
func RuleSetNamed(name string) (*RuleSet, error) {
	r, ok := builtIn()[name]
	if !ok {
		return nil, fmt.Errorf("no rule set is called %q; known are %s", name, strings.Join(RuleSetNames(), ", "))
	}
	out := *r
	return &out, nil
}

// RuleSetNames lists the built-in rule sets in the order of their names.
func RuleSetNames() []string { return slices.Sorted(maps.Keys(builtIn())) }

// RuleSetFile gives the file of a built-in rule set, with its sources, for somebody to edit.
func RuleSetFile(name string) ([]byte, error) {
	if _, err := RuleSetNamed(name); err != nil {
		return nil, err
	}
	return ruleFiles.ReadFile("rulesets/" + name + ".yaml")
}

// ReadRuleSet reads a rule set (YAML, format whatbout.rules/1); file only names it in faults. The error lists all faults
// (input.Faults), and then there is no rule set.
func ReadRuleSet(file string, data []byte) (*RuleSet, error) {
	doc, _ := input.ParseYAML(file, data)
	m := doc.Root()
	m.Known("format", "name", "rounds", "round_seconds", "rest_seconds", "area", "clinch", "ground", "break_seconds", "stand_up_seconds",
		"count", "max_knockdowns", "forbidden")
	m.Word("format", RulesFormat)
	r := &RuleSet{
		Name: m.Word("name"), Rounds: m.Int("rounds", 1, 15),
		RoundSeconds: m.Int("round_seconds", 1, 3600), RestSeconds: m.Int("rest_seconds", 0, 3600),
		Area: readArea(m.Map("area")), Clinch: m.Bool("clinch"), Ground: m.Bool("ground"),
		Count: m.Bool("count"), MaxKnockdowns: m.IntOr("max_knockdowns", 0, 0, 100),
	}
	r.BreakSeconds = readPatience(m, "break_seconds", "clinch", r.Clinch)
	r.StandUpSeconds = readPatience(m, "stand_up_seconds", "ground", r.Ground)
	readForbidden(r, m)
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return r, nil
}

// readPatience reads how long the referee waits. Zero would separate a pair in the moment it closes, so it stands only
// for a phase that the rule set does not have.
func readPatience(m input.Map, key, phase string, has bool) float64 {
	if has {
		return m.Float(key, .5, 3600)
	}
	if m.Has(key) && m.Has(phase) {
		m.Fault(key, fmt.Sprintf("%s without %s", key, phase), "no such key where "+phase+" is false", "")
	}
	return 0
}

func readForbidden(r *RuleSet, m input.Map) {
	for i := range r.Allowed {
		r.Allowed[i] = true
	}
	names := slices.Delete(MoveNames(), int(NoMove), int(NoMove)+1)
	for _, name := range m.Words("forbidden", names...) {
		r.Allowed[slices.Index(MoveNames(), name)] = false
	}
}

func readArea(m input.Map) Area {
	m.Known("shape", "sides", "diameter")
	a := Area{Shape: m.Word("shape", "circle", "polygon", "square"), Diameter: m.Float("diameter", 2, 30)}
	switch {
	case a.Shape == "polygon":
		a.Sides = m.Int("sides", 3, 64)
	case a.Shape != "" && m.Has("sides"):
		m.Fault("sides", "sides of a "+a.Shape, "sides for a polygon only", "")
	}
	if a.Shape == "square" {
		a.Sides = 4
	}
	return a
}

// WriteRuleSet gives the file that ReadRuleSet reads as the same rule set.
func WriteRuleSet(r *RuleSet) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\nname: %s\nrounds: %d\nround_seconds: %d\nrest_seconds: %d\narea: %s\nclinch: %t\nground: %t\n", RulesFormat,
		input.Scalar(r.Name), r.Rounds, r.RoundSeconds, r.RestSeconds, formatArea(r.Area), r.Clinch, r.Ground)
	if r.Clinch {
		fmt.Fprintf(&b, "break_seconds: %s\n", input.Number(r.BreakSeconds))
	}
	if r.Ground {
		fmt.Fprintf(&b, "stand_up_seconds: %s\n", input.Number(r.StandUpSeconds))
	}
	var forbidden []string
	for m, allowed := range r.Allowed {
		if !allowed {
			forbidden = append(forbidden, Move(m).String())
		}
	}
	fmt.Fprintf(&b, "count: %t\nmax_knockdowns: %d\nforbidden: [%s]\n", r.Count, r.MaxKnockdowns, strings.Join(forbidden, ", "))
	return []byte(b.String())
}

func formatArea(a Area) string {
	sides := ""
	if a.Shape == "polygon" {
		sides = fmt.Sprintf("sides: %d, ", a.Sides)
	}
	return fmt.Sprintf("{shape: %s, %sdiameter: %s} # metres", a.Shape, sides, input.Number(a.Diameter))
}
