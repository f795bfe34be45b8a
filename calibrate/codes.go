package calibrate

import (
	"slices"

	"whatbout/internal/infer"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// CodeAgreement is how far coders give an event the same code, over matched events; it says nothing of events that somebody missed.
type CodeAgreement struct {
	Code     string             `json:"code"`
	Group    string             `json:"group"`                    // what must be looked for
	Units    int                `json:"units"`                    // events with a code from two coders at least
	Uncoded  int                `json:"uncoded"`                  // matched events of the right kind that have not
	Same     infer.Interval     `json:"same"`                     // share on which all coders who gave a code gave the same
	Kappa    *infer.Coefficient `json:"kappa,omitempty"`          // two coders
	Weighted *infer.Coefficient `json:"weighted_kappa,omitempty"` // two coders, ordered codes: linear weights
	Fleiss   *infer.Coefficient `json:"fleiss_kappa,omitempty"`   // three and more, on events that all coded
	Alpha    infer.Coefficient  `json:"alpha"`                    // Krippendorff's, nominal
	AC1      infer.Coefficient  `json:"ac1"`                      // Gwet's
}

// eventUnit is one event as every coder coded it; nil for a coder who did not.
type eventUnit []*codedAct

func pairUnits(m *matching) []eventUnit {
	out := make([]eventUnit, len(m.pairs))
	for i, p := range m.pairs {
		out[i] = eventUnit{&m.firstActs[p.first], &m.secondActs[p.second]}
	}
	return out
}

// codeOf is one thing that is coded of an event.
type codeOf struct {
	name    string
	group   tape.Group           // NumGroups: always
	of      func(*codedAct) bool // which acts have it; all coders' acts must
	code    func(*codedAct) int  // 0: not coded, or unknown
	sameAct bool                 // only where the coders agree on the act, since the codes depend on it
	ordered bool
}

// eventCodes are the codes of acts beside the act itself.
var eventCodes = []codeOf{
	{name: "value", group: tape.NumGroups, of: func(a *codedAct) bool { return !a.Act.IsState() }, code: func(a *codedAct) int { return int(a.Value) }, sameAct: true},
	{name: "defences", group: tape.GroupDefences, of: func(a *codedAct) bool { return a.Act.IsAttack() }, code: defenceCode},
	{name: "bites", group: tape.GroupDefences, of: func(a *codedAct) bool { return a.Act.IsFeint() }, code: defenceCode},
	{name: "results", group: tape.GroupResults, of: func(a *codedAct) bool { return a.Act.IsStrike() }, code: resultCode, ordered: true},
	{name: "takedown results", group: tape.GroupResults, of: func(a *codedAct) bool { return a.Act.IsTakedown() }, code: resultCode},
	{name: "made or failed", group: tape.GroupResults, of: func(a *codedAct) bool { return !a.Act.IsAttack() }, code: resultCode, sameAct: true},
	{name: "how", group: tape.GroupHow, of: func(a *codedAct) bool { return a.Act.IsAttack() }, code: func(a *codedAct) int { return int(a.How) }},
	{name: "limbs", group: tape.GroupLimbs, of: func(a *codedAct) bool { return !a.Act.IsState() }, code: func(a *codedAct) int { return int(a.Limb) }},
}

func defenceCode(a *codedAct) int { return knownCode(int(a.Defence), int(tape.DefenceUnknown)) }
func resultCode(a *codedAct) int  { return knownCode(int(a.Result), int(tape.ResultUnknown)) }

func knownCode(code, unknown int) int {
	if code == unknown {
		return 0
	}
	return code
}

// codesFor lists what is compared of a bout: the act within every group, then the codes of acts.
func codesFor(b *tape.Bout) (out []codeOf) {
	for _, g := range actGroups {
		if oneAct := g == tape.GroupLegCaught || g == tape.GroupHandFights; looksFor(b, g) && !oneAct {
			out = append(out, codeOf{name: "act", group: g, of: func(a *codedAct) bool { return inGroup(g, a.Act) }, code: func(a *codedAct) int { return int(a.Act) }})
		}
	}
	for _, c := range eventCodes {
		if c.group == tape.NumGroups || b.LookedFor[c.group] {
			out = append(out, c)
		}
	}
	return out
}

// bootstraps gives every bootstrap a stream of its own, in order.
type bootstraps struct {
	key  kernel.Key
	next uint64
}

// agreeKey keeps these streams apart from those of bouts.
const agreeKey = 0x6167726565

func newBootstraps(seed uint64) *bootstraps { return &bootstraps{key: kernel.NewKey(seed, agreeKey)} }

func (b *bootstraps) source() *kernel.Stream {
	s := b.key.With(b.next).Stream()
	b.next++
	return &s
}

func codeAgreements(b *tape.Bout, units []eventUnit, level float64, random *bootstraps) (out []CodeAgreement) {
	for _, c := range codesFor(b) {
		source := random.source()
		codes, uncoded := c.collect(units)
		if len(codes) > 0 {
			out = append(out, c.agreement(codes, uncoded, level, source))
		}
	}
	return out
}

// collect lists the codes of every unit that has two; zeros stand for coders who gave none.
func (c *codeOf) collect(units []eventUnit) (codes [][]int, uncoded int) {
	for _, u := range units {
		coders, given, applies := 0, make([]int, len(u)), true
		var before *codedAct
		for k, a := range u {
			if a == nil {
				continue
			}
			applies = applies && c.of(a) && !(c.sameAct && before != nil && before.Act != a.Act)
			before = a
			if given[k] = c.code(a); given[k] != 0 {
				coders++
			}
		}
		switch {
		case !applies:
		case coders >= 2:
			codes = append(codes, given)
		case slices.ContainsFunc(given, func(x int) bool { return x != 0 }):
			uncoded++
		}
	}
	return codes, uncoded
}

func (c *codeOf) agreement(codes [][]int, uncoded int, level float64, source *kernel.Stream) CodeAgreement {
	out := CodeAgreement{Code: c.name, Units: len(codes), Uncoded: uncoded}
	if c.group < tape.NumGroups {
		out.Group = c.group.String()
	}
	used, same := usedCodes(codes)
	out.Same = infer.Wilson(float64(same), float64(len(codes)), level)
	out.Alpha = infer.Alpha(valuesOf(codes), infer.Nominal, level, infer.Resamples, source)
	rated, full := ratedUnits(codes, used)
	out.AC1 = infer.AC1(rated, level)
	if len(codes[0]) > 2 {
		k := infer.FleissKappa(full, level)
		out.Fleiss = &k
		return out
	}
	table := crosstabOf(codes, used)
	k := infer.Kappa(table, level)
	out.Kappa = &k
	if c.ordered && len(used) > 2 {
		w := infer.WeightedKappa(table, infer.LinearWeights(len(used)), level)
		out.Weighted = &w
	}
	return out
}

// usedCodes lists the codes that somebody used, in order, and counts the units whose codes are all the same.
func usedCodes(codes [][]int) (used []int, same int) {
	for _, u := range codes {
		first, differs := 0, false
		for _, x := range u {
			if x == 0 {
				continue
			}
			used = append(used, x)
			differs = differs || first != 0 && x != first
			first = x
		}
		if !differs {
			same++
		}
	}
	slices.Sort(used)
	return slices.Compact(used), same
}

func valuesOf(codes [][]int) [][]float64 {
	out := make([][]float64, len(codes))
	for i, u := range codes {
		for _, x := range u {
			if x != 0 {
				out[i] = append(out[i], float64(x))
			}
		}
	}
	return out
}

// ratedUnits counts codes by unit; full are the units that every coder coded.
func ratedUnits(codes [][]int, used []int) (rated, full []infer.Rated) {
	for _, u := range codes {
		counts, n := make([]float64, len(used)), 0
		for _, x := range u {
			if x != 0 {
				k, _ := slices.BinarySearch(used, x)
				counts[k]++
				n++
			}
		}
		one := infer.Rated{Counts: counts, Weight: 1}
		rated = append(rated, one)
		if n == len(u) {
			full = append(full, one)
		}
	}
	return rated, full
}

func crosstabOf(codes [][]int, used []int) infer.Crosstab {
	t := infer.NewCrosstab(len(used))
	for _, u := range codes {
		i, _ := slices.BinarySearch(used, u[0])
		j, _ := slices.BinarySearch(used, u[1])
		t[i][j]++
	}
	return t
}

func clockAgreement(m *matching, units []eventUnit, level float64, random *bootstraps) ClockAgreement {
	var apart []float64
	var clocks [][]float64
	for _, u := range units {
		if a, o := u[0], u[1]; a.Act == o.Act {
			apart = append(apart, float64(max(a.mid-o.mid, o.mid-a.mid))/2e6)
			clocks = append(clocks, []float64{float64(a.mid) / 2e6, float64(o.mid) / 2e6})
		}
	}
	return ClockAgreement{infer.Median(apart, level), infer.Alpha(clocks, infer.IntervalMetric, level, infer.Resamples, random.source())}
}
