package study

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/internal/input"
	"whatbout/sim"
	"whatbout/tape"
)

// Dial is one quantity that a sweep can move, in the units of the trade. Each turns into figures of a profile by exact arithmetic
// of the model:
//
//   - bites.CUE, of ten: at the start of a bout an empty onset of the cue that the fighter is free to react to is believed with chance
//     1/(1+e^-(bite-sense/2)) (belief is signal detection with logistic noise), so bite = ln(x/(10-x)) + sense/2. The same bite
//     also moves how often real onsets of the cue are believed; that is the price. 0 and 10 mean never and always, whatever the bout
//     teaches.
//   - defends.THREAT.RESPONSE, of ten such attacks taken for real: the response's share; the others keep their proportions.
//   - rate.MOVE, begun per free minute in the range where the population begins it most (on the feet, if it can be): the rate there is
//     set; in other ranges it is multiplied by x over the centre of the profile. Answers and combinations stay as they are.
//   - skill.attack.FAMILY and skill.defence.FAMILY, of 100: the family's plainest act, with nothing for or against it but the skill, by
//     this fighter against an average one or the other way round: 1/(1+e^-(intercept ± skill)).
//   - place.PLACE.SORT, multiple: how often acts of a sort are begun with a back on the fence, one nearer the centre or in an open stance
//     match-up, against elsewhere at the same range; after.own.ACT and after.their.ACT, multiple: the odds of going on after such an act of one's
//     own, or of answering one of the other's, against after a punch.
//   - reaction times, steps and the other figures that stand alone: the figure itself in its unit. Tape cannot show them.
//   - adherence, per cent of decisions at which a fresh fighter follows the plan.
type Dial struct {
	Name      string
	Unit      string  // of ten, a minute, of 100, ms, m, multiple or %
	Low, High float64 // what may be asked for
	Theirs    bool    // the opponent's, unless said otherwise

	plain     string         // what it counts; %s is the fighter
	main      fighter.Figure // the figure that it moves first
	get       func(d fighter.Draw) float64
	set       func(d, centre fighter.Draw, x float64)      // centre: the profile's
	also      func(centre fighter.Draw, x float64) float64 // real onsets believed, of ten
	adherence bool
}

// RealBelieved is the price of a dial of bites: how many of ten real onsets of the cue are believed at the start of a bout with the dial
// at x and everything else at the centre of the profile. It reports false for other dials.
func (d *Dial) RealBelieved(p *fighter.Profile, x float64) (float64, bool) {
	if d.also == nil {
		return 0, false
	}
	return d.also(p.Centre(), x), true
}

// Plain says what the dial counts of a fighter of that name.
func (d *Dial) Plain(name string) string { return strings.ReplaceAll(d.plain, "%s", name) }

// OfPlan reports whether the dial is how well a plan is followed, and not a figure of a fighter.
func (d *Dial) OfPlan() bool { return d.adherence }

// Dials lists what can be swept, in the order of the list above.
func Dials() []Dial { return dials() }

// DialNames lists their names.
func DialNames() (names []string) {
	for _, d := range dials() {
		names = append(names, d.Name)
	}
	return names
}

// DialNamed gives a dial; the error names the nearest.
func DialNamed(name string) (*Dial, error) {
	all := dials()
	for i := range all {
		if all[i].Name == name {
			return &all[i], nil
		}
	}
	hint := "such as bites.hip, rate.jab, skill.attack.straight, reaction.choice; shell completion lists all"
	if near := input.Nearest(name, DialNames()); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return nil, fmt.Errorf("%q cannot be swept; %s", name, hint)
}

// Calibrated is where the dial stands at the centre of the profile.
func (d *Dial) Calibrated(p *fighter.Profile) float64 { return d.get(p.Centre()) }

// beliefDraws of a profile give the ends of an interval to about a twentieth of its length.
const beliefDraws = 1000

// Believed is the central interval of the dial over draws of the profile: what is believed of it before it is moved.
func (d *Dial) Believed(p *fighter.Profile, seed uint64, level float64) infer.Interval {
	values := make([]float64, beliefDraws)
	for k := range values {
		values[k] = d.get(p.Draw(seed, uint64(k), true))
	}
	return infer.Central(values, level)
}

// Source says where what is believed of the dial comes from.
func (d *Dial) Source(p *fighter.Profile) fighter.Source { return p.Sources[d.main] }

// check reports why a dial cannot be moved in a profile.
func (d *Dial) check(p *fighter.Profile) error {
	if x := d.Calibrated(p); math.IsNaN(x) || strings.HasPrefix(d.Name, "rate.") && x <= 0 {
		return fmt.Errorf("%s has nothing to start from: the profile of %q never does it", d.Name, p.ID)
	}
	return nil
}

var dials = sync.OnceValue(func() (out []Dial) {
	for c := range fighter.NumCues {
		out = append(out, biteDial(c))
	}
	for t := range fighter.NumThreats {
		for r := range fighter.NumResponses {
			out = append(out, defendDial(t, r))
		}
	}
	for m := range tape.NumMoves {
		if z, ok := homeOf(m); ok {
			out = append(out, rateDial(m, z))
		}
	}
	for f := range fighter.NumFamilies {
		out = append(out, skillDial(f, plainest[f], true), skillDial(f, plainest[f], false))
	}
	out = append(out, aloneDials()...)
	out = append(out, habitDials()...)
	return append(out, Dial{Name: "adherence", Unit: "%", High: 100, adherence: true, plain: "decisions of 100 at which %s, fresh, follows the plan"})
})

// beyond is log-odds that nothing in a bout outweighs.
const beyond = 60

func logOdds(share float64) float64 {
	switch {
	case share <= 0:
		return -beyond
	case share >= 1:
		return beyond
	}
	return math.Log(share / (1 - share))
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func spaced(word string) string { return strings.ReplaceAll(word, "_", " ") }

func biteDial(c fighter.Cue) Dial {
	bite, sense := fighter.Bite(c), fighter.Sense(c)
	return Dial{
		Name: "bites." + c.String(), Unit: "of ten", High: 10, Theirs: true, main: bite, plain: c.String() + " feints %s bites on, of ten",
		get: func(d fighter.Draw) float64 { return 10 * logistic(d[bite]-d[sense]/2) },
		set: func(d, _ fighter.Draw, x float64) { d[bite] = logOdds(x/10) + d[sense]/2 },

		also: func(centre fighter.Draw, x float64) float64 { return 10 * logistic(logOdds(x/10)+centre[sense]) },
	}
}

func defendDial(t fighter.Threat, r fighter.Response) Dial {
	own := fighter.Defend(t, r)
	others := func(d fighter.Draw) (sum float64) {
		for o := range fighter.NumResponses {
			if o != r {
				sum += d[fighter.Defend(t, o)]
			}
		}
		return sum
	}
	return Dial{
		Name: fmt.Sprintf("defends.%s.%s", t, r), Unit: "of ten", High: 10, main: own,
		plain: fmt.Sprintf("of ten %s attacks that %%s takes for real, those met with: %s", spaced(t.String()), spaced(r.String())),
		get:   func(d fighter.Draw) float64 { return 10 * d[own] / (d[own] + others(d)) },
		set: func(d, _ fighter.Draw, x float64) {
			if x < 10 {
				d[own] = others(d) * x / (10 - x)
				return
			}
			for o := range fighter.NumResponses {
				d[fighter.Defend(t, o)] = 0
			}
			d[own] = 1
		},
	}
}

// homeOf gives the range in which the population begins a move most: on the feet, if it does it there at all.
func homeOf(m tape.Move) (home fighter.Zone, ok bool) {
	average := fighter.Population("average", fighter.AverageBody()).Centre()
	most := 0.0
	for z := range fighter.NumZones {
		if z == fighter.Clinch && most > 0 {
			break
		}
		if x := average[fighter.Initiate(z, m)]; x > most {
			home, most = z, x
		}
	}
	return home, most > 0
}

func rateDial(m tape.Move, home fighter.Zone) Dial {
	main := fighter.Initiate(home, m)
	return Dial{
		Name: "rate." + m.String(), Unit: "a minute", High: 60, main: main,
		plain: fmt.Sprintf("%s: how often %%s begins it, a minute of free time %s", spaced(m.String()), where[home]),
		get:   func(d fighter.Draw) float64 { return 60 * d[main] },
		set: func(d, centre fighter.Draw, x float64) {
			for z := range fighter.NumZones {
				d[fighter.Initiate(z, m)] *= x / (60 * centre[main])
			}
			d[main] = x / 60
		},
	}
}

var where = [fighter.NumZones]string{"out of range", "at kicking range", "at long range", "in the pocket", "in the clinch", "on top", "underneath"}

// plainest is the act that stands for a family.
var plainest = [fighter.NumFamilies]tape.Move{
	fighter.StraightPunch: tape.MoveCross, fighter.LoopingPunch: tape.MoveLeadHook, fighter.LowKicks: tape.MoveLowKickOutside,
	fighter.HighKicks: tape.MoveBodyKick, fighter.CloseStrike: tape.MoveKnee, fighter.OnGround: tape.MoveGroundStrike,
	fighter.Takedown: tape.MoveShoot, fighter.LeadHand: tape.MoveHandFight, fighter.Submissions: tape.MoveSubmission,
}

func skillDial(f fighter.Family, m tape.Move, attack bool) Dial {
	figure, sign, name := fighter.Attack(f), 1.0, "skill.attack."+f.String()
	plain := "of 100 (%s) by %%s, at an average fighter who does nothing about it: how many come off clean"
	if !attack {
		figure, sign, name = fighter.Defence(f), -1, "skill.defence."+f.String()
		plain = "of 100 (%s) by an average fighter, while %%s does nothing about it: how many come off clean"
	}
	intercept := sim.AverageWorld().Intercepts[m]
	return Dial{
		Name: name, Unit: "of 100", Low: 1, High: 99, main: figure, plain: fmt.Sprintf(plain, spaced(m.String())),
		get: func(d fighter.Draw) float64 { return 100 * logistic(intercept+sign*d[figure]) },
		set: func(d, _ fighter.Draw, x float64) { d[figure] = sign * (logOdds(x/100) - intercept) },
	}
}

// aloneRows: figure, unit, figure's units in one of the dial's, lowest, highest, what it is.
var aloneRows = []struct {
	figure    int
	unit      string
	per       float64
	low, high float64
	plain     string
}{
	{fighter.ReactionSimple, "ms", .001, 100, 600, "milliseconds until %s can move when an onset was anticipated"},
	{fighter.ReactionChoice, "ms", .001, 150, 900, "milliseconds until %s can move when choosing what to do about an onset"},
	{fighter.Anticipation, "of ten", .1, 0, 10, "onsets of ten that %s reads before they begin"},
	{fighter.AnticipationLead, "ms", .001, 0, 400, "milliseconds that %s gains by reading an onset early"},
	{fighter.Learning, "of ten", .1, 0, 20, "how much of what the bout has taught about a cue %s takes over, tenths"},
	{fighter.HandTime, "multiple", 1, .5, 2, "time that the hands of %s take, as a multiple of the usual"},
	{fighter.KickTime, "multiple", 1, .5, 2, "time that the kicks of %s take, as a multiple of the usual"},
	{fighter.StepTime, "multiple", 1, .5, 2, "time that a step of %s takes, as a multiple of the usual"},
	{fighter.Retraction, "multiple", 1, .3, 3, "time that %s takes back to guard, as a multiple of the usual"},
	{fighter.StepLength, "m", 1, .05, 1, "length of the steps of %s, metres"},
	{fighter.HandPower, "multiple", 1, .2, 4, "weight of the hands of %s, as a multiple of the usual"},
	{fighter.KickPower, "multiple", 1, .2, 4, "weight of the kicks of %s, as a multiple of the usual"},
	{fighter.Chin, "multiple", 1, .3, 4, "what the head of %s takes before it is hurt, as a multiple of the usual"},
	{fighter.Trunk, "multiple", 1, .3, 4, "what the body of %s takes, as a multiple of the usual"},
	{fighter.Legs, "multiple", 1, .3, 4, "what the legs of %s take, as a multiple of the usual"},
	{fighter.Tiring, "multiple", 1, .1, 5, "what an act costs %s, as a multiple of the usual"},
	{fighter.Recovery, "multiple", 1, .1, 5, "how fast %s recovers, as a multiple of the usual"},
	{fighter.SurgeHurt, "multiple", 1, 1, 6, "how much more often %s attacks when the other is hurt, as a multiple"},
}

func aloneDials() (out []Dial) {
	for _, r := range aloneRows {
		figure := fighter.Alone(r.figure)
		out = append(out, Dial{
			Name: fighter.Define(figure).Name, Unit: r.unit, Low: r.low, High: r.high, main: figure, plain: r.plain,
			get: func(d fighter.Draw) float64 { return d[figure] / r.per },
			set: func(d, _ fighter.Draw, x float64) { d[figure] = x * r.per },
		})
	}
	return out
}

var placePlain = [fighter.NumPlaces]string{"with the own back on the fence", "with the other's back on the fence", "while nearer the centre",
	"while further from the centre", "in an open stance match-up"}

var sortPlain = [fighter.NumSorts]string{"comes forward", "steps back", "circles", "works with the lead hand", "feints", "punches", "kicks", "shoots or ties up"}

func habitDials() (out []Dial) {
	add := func(f fighter.Figure, plain string) {
		out = append(out, Dial{Name: fighter.Define(f).Name, Unit: "multiple", Low: .1, High: 10, main: f, plain: plain,
			get: func(d fighter.Draw) float64 { return d[f] },
			set: func(d, _ fighter.Draw, x float64) { d[f] = x }})
	}
	for p := range fighter.NumPlaces {
		for s := range fighter.NumSorts {
			add(fighter.Placed(p, s), fmt.Sprintf("how often %%s %s %s, as a multiple of elsewhere at the same range", sortPlain[s], placePlain[p]))
		}
	}
	for a := fighter.AfterStep; a < fighter.NumAfters; a++ {
		add(fighter.Follows(a), fmt.Sprintf("odds that %%s goes on after a %s of their own, as a multiple of those after a punch", spaced(a.String())))
	}
	for a := fighter.AfterFeint; a < fighter.NumAfters; a++ {
		add(fighter.Replies(a), fmt.Sprintf("odds that %%s answers a %s, as a multiple of those for a punch", spaced(a.String())))
	}
	return out
}
