package sim

import (
	"fmt"
	"math"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Side is one fighter as a bout sees them: figures of one draw turned into whole numbers and choice tables, and the plan that
// re-weights the tables. Choices come from the tables; chances from everything else, which no plan touches.
type Side struct {
	Body fighter.Body
	Plan *tactics.Compiled // nil: as usual

	pocket, long, kick int32 // own zones end at these gaps, mm
	reach              [tape.NumMoves]int32
	time, spread       [tape.NumMoves]int64 // µs
	retract            [tape.NumMoves]int64
	power              [tape.NumMoves]int32
	attack, defence    [fighter.NumFamilies]int32 // logit units
	sense, bite        [fighter.NumCues]int32
	learning           int32 // per 1024
	simple, choice     int64 // µs
	anticipates        uint64
	lead               int64
	step               int32
	chin, trunk, legs  int32 // impact units; the population's are 100
	tiring, recovery   int32 // per cent of the population's

	rates    [fighter.NumZones][tape.NumMoves]float64
	surge    float64
	answers  [fighter.ExchangeZones][tape.NumMoves]float64
	carries  [fighter.ExchangeZones][tape.NumMoves]float64
	defends  [fighter.NumThreats][fighter.NumResponses]float64
	spots    [numSpots][fighter.NumSorts]float64 // multiples of rates, by place
	follows  [fighter.NumAfters]float64          // of the odds of going on, after what
	replies  [fighter.NumAfters]float64          // of answering what
	survives [fighter.NumSurvivals]float64
	holds    [fighter.NumHolds]float64

	follow  [tactics.MaxRules]uint64 // chance of following each rule of the plan at a decision
	mostly  uint64                   // the largest of them
	quick   bool                     // can begin acts faster than slow ticks come
	beliefs map[uint32]int32
	tables  choices
	err     error
}

// World holds the figures that belong to nobody: how strongly each mechanic acts and how referees and judges see. All are
// assumptions; see [AverageWorld].
type World struct {
	Measured, Denied, Lunging, Busy, Drawn, Squared, Open, Volume float64 // log-odds of a clean hit
	JudgeNoise                                                    float64 // share of the round's impact
	Home                                                          float64 // the same, seen in favour of red; 0: no crowd
	Chin                                                          float64 // impact that hurts an average fighter
	Intercepts                                                    [tape.NumMoves]float64
}

// Load compiles a draw of figures into the side. Shares gives, for each rule of the plan, the share of decisions, from 0 to 1, at which a
// fresh fighter manages to follow it (see [tactics.Compiled.Shares]); nil is always. It reuses the side's memory and refuses figures that begin acts faster than [Bound].
func (s *Side) Load(body fighter.Body, d fighter.Draw, plan *tactics.Compiled, shares []float64, rules *tape.RuleSet) error {
	s.Body, s.Plan = body, plan
	s.adhere(shares)
	clear(s.beliefs)
	s.loadBody(body, d)
	s.loadSkills(d)
	s.loadChoices(d, rules)
	s.loadHabits(d)
	s.tables.reset()
	s.err = nil
	return s.checkBound()
}

// handsOnly reports whether a rule set leaves nothing but punches to strike with on the feet.
func handsOnly(rules *tape.RuleSet) bool {
	for m := range tape.NumMoves {
		if a := tape.Move(m).Act(); a >= tape.FrontKick && a <= tape.Elbow && rules.Allowed[m] {
			return false
		}
	}
	return true
}

// quicken multiplies how often punches are begun, answered with and continued with.
func (s *Side) quicken(t fighter.Tempo) {
	for m := range tape.NumMoves {
		if a := tape.Move(m).Act(); !a.IsStrike() || a == tape.GroundStrike {
			continue
		}
		for z := range fighter.NumZones {
			s.rates[z][m] *= t.Initiate
		}
		for z := range fighter.ExchangeZones {
			s.answers[z][m] *= t.Answer
			s.carries[z][m] *= t.Continue
		}
	}
}

// checkBound refuses figures that would outrun the ticks before a bout can meet them, and finds whether slow ticks are enough for the
// busiest zone under every multiple of the plan.
func (s *Side) checkBound() error {
	s.quick = false
	for z := range fighter.NumZones {
		usual := 0.0
		for _, r := range s.rates[z] {
			usual += r
		}
		if usual > Bound {
			return fmt.Errorf("sim: %.2f acts a second at %s range are more than the %.0f that a bout can follow", usual, z, Bound)
		}
		s.quick = s.quick || s.most(z) > slow*(1+1e-9)
	}
	return nil
}

func (s *Side) adhere(shares []float64) {
	s.mostly = 0
	if shares == nil {
		s.mostly = kernel.Certain
	}
	for i := range s.follow {
		s.follow[i] = s.mostly
	}
	for i, share := range shares {
		s.follow[i] = kernel.Threshold(share)
		s.mostly = max(s.mostly, s.follow[i])
	}
}

func (s *Side) loadBody(body fighter.Body, d fighter.Draw) {
	r := body.Reach()
	s.pocket, s.long, s.kick = mm(r.Hook), mm(r.Straight), mm(r.Kick)
	s.step = mm(d[fighter.Alone(fighter.StepLength)])
	limbs := [4]float64{0, r.Hook, r.Straight, r.Kick}
	power := [4]float64{d[fighter.Alone(fighter.HandPower)], d[fighter.Alone(fighter.HandPower)], d[fighter.Alone(fighter.HandPower)], d[fighter.Alone(fighter.KickPower)]}
	hands, kicks, steps := d[fighter.Alone(fighter.HandTime)], d[fighter.Alone(fighter.KickTime)], d[fighter.Alone(fighter.StepTime)]
	for m, t := range techniques {
		speed := hands
		switch {
		case t.limb == kickLimb:
			speed = kicks
		case isStep(tape.Move(m)):
			speed = steps
		}
		s.reach[m] = mm(float64(limbs[t.limb] * t.reach))
		s.time[m] = scale(tape.Move(m).UsualTime(), speed)
		s.spread[m] = t.spread
		s.retract[m] = scale(tape.Move(m).UsualRetraction(), d[fighter.Alone(fighter.Retraction)])
		s.power[m] = int32(scale(int64(t.power), power[t.limb]))
	}
}

// isStep reports whether a move is one of the feet alone.
func isStep(m tape.Move) bool {
	return m >= tape.MoveStepBack && m <= tape.MoveStepIn || m == tape.MoveCutOff || m.Act() == tape.Circle
}

func (s *Side) loadSkills(d fighter.Draw) {
	for f := range fighter.NumFamilies {
		s.attack[f] = logit(d[fighter.Attack(f)])
		s.defence[f] = logit(d[fighter.Defence(f)])
	}
	for c := range fighter.NumCues {
		s.sense[c] = logit(d[fighter.Sense(c)])
		s.bite[c] = logit(d[fighter.Bite(c)])
	}
	s.learning = int32(scale(1024, d[fighter.Alone(fighter.Learning)]))
	s.simple = scale(1e6, d[fighter.Alone(fighter.ReactionSimple)])
	s.choice = scale(1e6, d[fighter.Alone(fighter.ReactionChoice)])
	s.anticipates = kernel.Threshold(min(d[fighter.Alone(fighter.Anticipation)], 1))
	s.lead = scale(1e6, d[fighter.Alone(fighter.AnticipationLead)])
	s.chin = int32(scale(100, d[fighter.Alone(fighter.Chin)]))
	s.trunk = int32(scale(100, d[fighter.Alone(fighter.Trunk)]))
	s.legs = int32(scale(100, d[fighter.Alone(fighter.Legs)]))
	s.tiring = int32(scale(100, d[fighter.Alone(fighter.Tiring)]))
	s.recovery = int32(scale(100, d[fighter.Alone(fighter.Recovery)]))
	s.surge = max(d[fighter.Alone(fighter.SurgeHurt)], 1)
}

func (s *Side) loadChoices(d fighter.Draw, rules *tape.RuleSet) {
	for z := range fighter.NumZones {
		for m := range tape.NumMoves {
			s.rates[z][m] = 0
			if rules.Allowed[m] && fighter.Possible(z, m) {
				s.rates[z][m] = d[fighter.Initiate(z, m)]
			}
		}
	}
	for z := range fighter.ExchangeZones {
		for m := range tape.NumMoves {
			s.answers[z][m], s.carries[z][m] = 0, 0
			if m == tape.NoMove || rules.Allowed[m] && fighter.Possible(fighter.Long, m) {
				s.answers[z][m] = d[fighter.Answer(z, m)]
				s.carries[z][m] = d[fighter.Continue(z, m)]
			}
		}
	}
	for t := range fighter.NumThreats {
		for r := range fighter.NumResponses {
			s.defends[t][r] = d[fighter.Defend(t, r)]
		}
	}
	for v := range fighter.NumSurvivals {
		s.survives[v] = d[fighter.Survive(v)]
	}
	if handsOnly(rules) {
		s.quicken(fighter.HandsOnly())
	}
	for h := range fighter.NumHolds {
		s.holds[h] = 0
		if m := holdMoves[h]; m == tape.NoMove || rules.Allowed[m] {
			s.holds[h] = d[fighter.Holding(h)]
		}
	}
}

func mm(metres float64) int32         { return int32(math.Round(metres * 1000)) }
func scale(x int64, by float64) int64 { return int64(math.Round(float64(x) * by)) }
func logit(x float64) int32           { return int32(math.Round(x * kernel.LogitUnit)) }

// Fault reports what went wrong while choice tables were made, which happens inside bouts: a plan's multiples that outrun [Bound].
func (s *Side) Fault() error {
	if s.err == nil {
		return nil
	}
	return fmt.Errorf("sim: a plan asks for more than the %.0f acts a second that a bout can follow: %w", Bound, s.err)
}
