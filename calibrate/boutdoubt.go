package calibrate

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mathext"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// groupDoubt is what the coders of one bout do to the counts of one group: true counts are coded ones times (1-extra)/(1-missed) =
// exp(log), with a variance of that logarithm.
type groupDoubt struct {
	log, variance float64
	extra         float64
	confused      float64 // share of the coded acts that are another act
}

// missed is the share of true events that is not coded.
func (d *groupDoubt) missed() float64 { return 1 - (1-d.extra)*math.Exp(-d.log) }

// boutDoubt is the coders' error in one bout.
type boutDoubt struct {
	bout      *tape.Bout
	estimated bool // two codings and more
	groups    [tape.NumGroups]groupDoubt
	results   float64 // share of attempts whose coming off is coded the wrong way round
	bites     float64
}

// doubtWindow and doubtLevel are those of agree's defaults.
const (
	doubtWindow = 300_000
	doubtLevel  = .95
)

// engineCoder is who codes what was simulated (coder: in bout.yaml): no assumption on people holds for it.
const engineCoder = "engine"

// doubtsOf gives every bout's error, in the order of the sources.
func doubtsOf(codings []*tape.Coding, assumed CoderDoubt) (out []*boutDoubt) {
	var bouts []*tape.Bout
	of := map[*tape.Bout][]*tape.Coding{}
	for _, c := range codings {
		if of[c.Bout] == nil {
			bouts = append(bouts, c.Bout)
		}
		of[c.Bout] = append(of[c.Bout], c)
	}
	for _, b := range bouts {
		switch {
		case b.Coder == engineCoder:
			out = append(out, &boutDoubt{bout: b})
		case len(of[b]) > 1:
			out = append(out, estimatedDoubt(b, of[b], assumed))
		default:
			out = append(out, assumedDoubt(b, assumed))
		}
	}
	return out
}

// assumedDoubt is that of a coder of whom nothing is known but the assumption: true events for each one coded are (1-extra)/(1-missed).
func assumedDoubt(b *tape.Bout, c CoderDoubt) *boutDoubt {
	d := &boutDoubt{bout: b, results: c.Wrong, bites: c.Wrong}
	for g := range d.groups {
		mean, variance := 0.0, 0.0
		for sign, p := range map[float64]float64{-1: c.Missed[g], 1: c.Extra} {
			if p > 0 {
				m, v := logKept(asBeta(p))
				mean, variance = mean+sign*m, variance+v
			}
		}
		d.groups[g] = groupDoubt{log: mean, variance: variance, extra: c.Extra, confused: c.Confused}
	}
	return d
}

// logKept gives mean and variance of log(1-p) for a share p that is a beta: ψ(b)-ψ(a+b) and ψ'(b)-ψ'(a+b).
func logKept(p infer.Beta) (mean, variance float64) {
	trigamma := func(x float64) float64 { return mathext.Zeta(2, x) }
	return mathext.Digamma(p.B) - mathext.Digamma(p.A+p.B), trigamma(p.B) - trigamma(p.A+p.B)
}

// estimatedDoubt learns from two codings and more. The assumption is where each share starts from, and what the codings show is added to
// it as to a beta. With two, an event that only the other has was missed, or the other made it up: of coder A's and B's shares x made up
// and m missed, the part of B's events that A has not is x + (1-x)·m. So the true events for each one coded are (1-x)/(1-m) =
// (1-x)²/(1-that part), which is capture and recapture (Petersen 1896; Chapman 1951, as [infer.Recapture]) less what was made up. Three
// coders tell both apart.
func estimatedDoubt(b *tape.Bout, codings []*tape.Coding, assumed CoderDoubt) *boutDoubt {
	assumed = assumed.orUsual()
	d := &boutDoubt{bout: b, estimated: true}
	var compared []*comparedPair
	for i := range codings {
		for j := i + 1; j < len(codings); j++ {
			_, shift := offsetOf(b, codings[i], codings[j], doubtWindow, doubtLevel)
			compared = append(compared, &comparedPair{i: i, j: j, match: matchShared(b, codings[i], codings[j], shift, doubtWindow, nil)})
		}
	}
	units := unitsOf(codings, compared)
	errors := coderErrors(b, codings, units, doubtLevel)
	for _, g := range actGroups {
		var of []CoderError
		for _, e := range errors {
			if e.Group == g.String() {
				of = append(of, e)
			}
		}
		if len(of) > 0 {
			d.groups[g] = groupOf(of, assumed.Missed[g], assumed)
		}
	}
	d.results = differ(units, assumed.Wrong, func(a *codedAct) (bool, bool) {
		return came(&a.Event), a.Act.IsAttack() && a.Result != tape.ResultUncoded && a.Result != tape.ResultUnknown
	})
	d.bites = differ(units, assumed.Wrong, func(a *codedAct) (bool, bool) {
		return a.Defence >= tape.Flinch, a.Act.IsFeint() && a.Defence != tape.DefenceUncoded && a.Defence != tape.DefenceUnknown
	})
	return d
}

// groupOf joins the coders' errors: all correct to one number of true events, so that corrections are averaged and their variances, which
// are of the same events, are not: the largest counts.
func groupOf(of []CoderError, missed float64, assumed CoderDoubt) (d groupDoubt) {
	n := float64(len(of))
	for _, e := range of {
		prior := asBeta(missed)
		mean, variance := logKept(prior.Update(e.Miss.Centre*e.Miss.Count, e.Miss.Count, 1))
		log := -mean
		switch {
		case e.Extra != nil:
			log += math.Log(1 - e.Extra.Centre)
			d.extra += e.Extra.Centre / n
			variance += math.Pow(e.Extra.Half()/1.96/(1-e.Extra.Centre), 2)
		case assumed.Extra > 0:
			m, v := logKept(asBeta(assumed.Extra))
			log, variance = log+2*m, variance+4*v
			d.extra = assumed.Extra
		}
		d.log += log / n
		d.variance = math.Max(d.variance, variance)
		c := e.Confused.Centre
		if e.Confused.Count == 0 {
			c = assumed.Confused
		} else if len(of) == 2 {
			c /= 2 // who is wrong is not known
		}
		d.confused += c / n
	}
	return d
}

// differ gives the share c of a yes or no that one coder has the wrong way round: two who err independently differ in 2c(1-c).
func differ(units []*sharedUnit, assumed float64, of func(*codedAct) (yes, known bool)) float64 {
	n, apart := 0.0, 0.0
	for _, u := range units {
		for i, a := range u.acts {
			for _, b := range u.acts[:i] {
				if a == nil || b == nil {
					continue
				}
				x, known := of(a)
				y, too := of(b)
				if known && too {
					n++
					if x != y {
						apart++
					}
				}
			}
		}
	}
	start := 2 * assumed * (1 - assumed)
	d := math.Min(asBeta(math.Min(start, mostDoubt)).Update(apart, n, 1).Mean(), .48)
	return (1 - math.Sqrt(1-2*d)) / 2
}

// doubtNotes says what was assumed and what was estimated, a line for each bout that was coded twice and one for all others.
func doubtNotes(all []*boutDoubt, assumed CoderDoubt) (out []string) {
	var one, engine []string
	for _, d := range all {
		switch {
		case d.estimated:
			out = append(out, d.note())
		case d.bout.Coder == engineCoder:
			engine = append(engine, d.bout.ID)
		default:
			one = append(one, d.bout.ID)
		}
	}
	if assumed == (CoderDoubt{}) {
		return out
	}
	if len(one) > 0 {
		out = append(out, fmt.Sprintf("%s: one coder: errors assumed: %s; they widen and correct nothing", orMany(one), assumed))
	}
	if len(engine) > 0 {
		out = append(out, orMany(engine)+": coded by the engine: no coder's error assumed")
	}
	return out
}

func orMany(ids []string) string {
	if len(ids) == 1 {
		return ids[0]
	}
	return fmt.Sprintf("%d bouts", len(ids))
}

func (d *boutDoubt) note() string {
	var parts []string
	for _, g := range actGroups {
		if x := d.groups[g]; looksFor(d.bout, g) && x.variance > 0 {
			parts = append(parts, fmt.Sprintf("%s %.2f (± %.0f %%)", g, math.Exp(x.log), 100*math.Sqrt(x.variance)))
		}
	}
	return fmt.Sprintf("%s: coders' errors estimated: true acts for one coded: %s; results wrong %.0f %%, bites %.0f %%", d.bout.ID,
		strings.Join(parts, ", "), 100*d.results, 100*d.bites)
}
