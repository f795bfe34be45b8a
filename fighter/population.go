package fighter

import (
	"math"

	"whatbout/tape"
)

// The population: what is believed of a professional nobody has coded yet. Unless a line says otherwise the value is a judgement,
// tuned only so that evenly matched bouts meet the published time structure, output and endings (see the census); it is never
// fitted to a fighter's tape.

// Prior strengths: how much tape the population counts for. Judgements.
const (
	rateCounts  = 3.0  // a rate's prior weighs as much as three counts
	tableWeight = 14.0 // a table's prior weighs as much as fourteen choices
	skillSpread = 0.30 // log-odds
	senseSpread = 0.40
	biteSpread  = 0.50
)

type rates map[tape.Move]float64

// initiateRates are acts per free second in the own zone.
var initiateRates = [NumZones]rates{
	Out: {tape.MoveStepIn: .62, tape.MoveCircleLeft: .12, tape.MoveCircleRight: .12, tape.MoveCutOff: .08, tape.MoveStepBack: .02,
		tape.MoveFeintHand: .06, tape.MoveFeintHip: .03, tape.MoveFeintLevel: .02, tape.MoveMeasure: .03, tape.MoveSwitchStance: .01,
		tape.MoveRaiseKnee: .01, tape.MoveHighKick: .004, tape.MoveBodyKick: .006, tape.MoveLowKickOutside: .01, tape.MoveShoot: .0022},
	Kicking: {tape.MoveStepIn: .24, tape.MoveStepBack: .10, tape.MoveCircleLeft: .10, tape.MoveCircleRight: .10, tape.MoveCutOff: .05,
		tape.MoveMeasure: .06, tape.MoveHandFight: .03, tape.MoveRaiseKnee: .02, tape.MoveLongGuard: .02,
		tape.MoveFeintHand: .10, tape.MoveFeintHip: .05, tape.MoveFeintLeg: .04, tape.MoveFeintLevel: .03, tape.MoveSwitchStance: .01,
		tape.MoveJab: .035, tape.MoveCross: .018, tape.MoveOverhand: .008, tape.MoveLeadHook: .005, tape.MoveSpin: .002,
		tape.MoveLowKickOutside: .035, tape.MoveLowKickCalf: .020, tape.MoveLowKickInside: .012, tape.MoveFrontKick: .016,
		tape.MoveSideKick: .004, tape.MoveBodyKick: .018, tape.MoveHighKick: .012, tape.MoveShoot: .0077},
	Long: {tape.MoveStepIn: .08, tape.MoveStepBack: .28, tape.MoveCircleLeft: .09, tape.MoveCircleRight: .09, tape.MoveCutOff: .03,
		tape.MoveMeasure: .05, tape.MoveHandFight: .06, tape.MoveRaiseKnee: .01, tape.MoveLongGuard: .03,
		tape.MoveFeintHand: .09, tape.MoveFeintHip: .02, tape.MoveFeintLeg: .02, tape.MoveFeintLevel: .03, tape.MoveSwitchStance: .005,
		tape.MoveJab: .13, tape.MoveJabBody: .012, tape.MoveCross: .07, tape.MoveCrossBody: .012, tape.MoveOverhand: .022,
		tape.MoveLeadHook: .022, tape.MoveRearHook: .01, tape.MoveUppercut: .004, tape.MoveSpin: .003,
		tape.MoveLowKickOutside: .03, tape.MoveLowKickCalf: .012, tape.MoveLowKickInside: .012, tape.MoveFrontKick: .008,
		tape.MoveBodyKick: .012, tape.MoveHighKick: .008, tape.MoveKnee: .004, tape.MoveShoot: .0099, tape.MoveTieUp: .012},
	Pocket: {tape.MoveStepIn: .01, tape.MoveStepBack: .55, tape.MoveCircleLeft: .10, tape.MoveCircleRight: .10, tape.MoveLongGuard: .05,
		tape.MoveHandFight: .08, tape.MoveFeintHand: .06, tape.MoveFeintLevel: .02,
		tape.MoveJab: .08, tape.MoveJabBody: .01, tape.MoveCross: .12, tape.MoveCrossBody: .02, tape.MoveOverhand: .04,
		tape.MoveLeadHook: .12, tape.MoveLeadHookBody: .04, tape.MoveRearHook: .06, tape.MoveRearHookBody: .02, tape.MoveUppercut: .05,
		tape.MoveElbow: .02, tape.MoveKnee: .03, tape.MoveLowKickInside: .01, tape.MoveShoot: .011, tape.MoveTieUp: .09},
	Clinch: {tape.MoveBreak: .07, tape.MovePush: .06, tape.MoveTrip: .018, tape.MoveSweep: .005, tape.MoveKnee: .10, tape.MoveElbow: .04,
		tape.MoveUppercut: .04, tape.MoveLeadHook: .03, tape.MoveRearHook: .03, tape.MoveLeadHookBody: .03, tape.MoveRearHookBody: .03},
	Top:    {tape.MoveGroundStrike: .30, tape.MoveSubmission: .0075, tape.MoveGetUp: .006},
	Bottom: {tape.MoveGroundStrike: .05, tape.MoveSubmission: .0045, tape.MoveGetUp: .045},
}

// answerShares and continueShares are weights by the own zone (kicking, long, pocket).
var answerShares = [ExchangeZones]rates{
	{tape.NoMove: 55, tape.MoveStepBack: 9, tape.MoveCircleLeft: 5, tape.MoveCircleRight: 5, tape.MoveStepIn: 6, tape.MoveJab: 4, tape.MoveCross: 4,
		tape.MoveLowKickOutside: 3, tape.MoveBodyKick: 2, tape.MoveFrontKick: 1, tape.MoveHighKick: 1, tape.MoveShoot: .5, tape.MoveLeadHook: 1, tape.MoveOverhand: 1},
	{tape.NoMove: 45, tape.MoveStepBack: 14, tape.MoveCircleLeft: 5, tape.MoveCircleRight: 5, tape.MoveJab: 6, tape.MoveCross: 8, tape.MoveLeadHook: 3,
		tape.MoveOverhand: 2, tape.MoveRearHook: 1, tape.MoveLowKickOutside: 3, tape.MoveShoot: 1, tape.MoveHandFight: 2, tape.MoveTieUp: 2, tape.MoveBodyKick: 1},
	{tape.NoMove: 35, tape.MoveStepBack: 16, tape.MoveCircleLeft: 4, tape.MoveCircleRight: 4, tape.MoveCross: 9, tape.MoveLeadHook: 9, tape.MoveRearHook: 4,
		tape.MoveOverhand: 3, tape.MoveUppercut: 3, tape.MoveJab: 3, tape.MoveElbow: 1, tape.MoveKnee: 2, tape.MoveTieUp: 6, tape.MoveShoot: 1},
}

var continueShares = [ExchangeZones]rates{
	{tape.NoMove: 72, tape.MoveStepBack: 6, tape.MoveStepIn: 5, tape.MoveCircleLeft: 3, tape.MoveCircleRight: 3, tape.MoveJab: 3, tape.MoveCross: 4,
		tape.MoveLowKickOutside: 2, tape.MoveHighKick: 1, tape.MoveBodyKick: 1, tape.MoveShoot: .5},
	{tape.NoMove: 55, tape.MoveStepBack: 12, tape.MoveCircleLeft: 3, tape.MoveCircleRight: 3, tape.MoveJab: 4, tape.MoveCross: 11, tape.MoveLeadHook: 5,
		tape.MoveOverhand: 2, tape.MoveRearHook: 1, tape.MoveLowKickOutside: 4, tape.MoveBodyKick: 1, tape.MoveShoot: .5, tape.MoveTieUp: 1},
	{tape.NoMove: 45, tape.MoveStepBack: 15, tape.MoveCircleLeft: 3, tape.MoveCircleRight: 3, tape.MoveCross: 10, tape.MoveLeadHook: 9, tape.MoveRearHook: 4,
		tape.MoveUppercut: 3, tape.MoveOverhand: 2, tape.MoveLeadHookBody: 3, tape.MoveLowKickOutside: 2, tape.MoveTieUp: 5, tape.MoveElbow: 1, tape.MoveKnee: 1},
}

// defendShares are weights by threat.
var defendShares = [NumThreats]map[Response]float64{
	Straight: {Absorb: 8, GuardHigh: 26, GuardLow: 3, Parry: 16, Slip: 14, Duck: 3, Pull: 9, Sidestep: 4, HandFight: 3, LongGuard: 3, StepBack: 22, StrikeFirst: 4, Smother: 2},
	Looping:  {Absorb: 8, GuardHigh: 34, GuardLow: 3, Parry: 3, Slip: 5, Duck: 12, Pull: 9, Sidestep: 2, LongGuard: 6, StepBack: 20, StrikeFirst: 7, Smother: 8},
	LowKick:  {Absorb: 38, Check: 20, WithdrawLeg: 16, StepBack: 18, StrikeFirst: 5, Catch: 1},
	BodyKick: {Absorb: 10, GuardLow: 30, GuardHigh: 8, Catch: 10, StepBack: 26, Check: 8, Smother: 5, StrikeFirst: 5, Sidestep: 3},
	HighKick: {Absorb: 6, GuardHigh: 42, BrushDown: 8, Duck: 8, Pull: 12, StepBack: 20, Smother: 4, StrikeFirst: 3},
	FrontKick: {Absorb: 14, GuardLow: 10, Parry: 22, Sidestep: 10, Catch: 8, StepBack: 30, WithdrawLeg: 2, StrikeFirst: 2,
		BrushDown: 4},
	Close: {Absorb: 25, GuardHigh: 20, GuardLow: 15, Smother: 20, StepBack: 14, StrikeFirst: 4},
	Shot:  {Absorb: 8, Sprawl: 55, StepBack: 14, Smother: 14, StrikeFirst: 4, Sidestep: 5},
}

var survivalShares = [NumSurvivals]float64{SurviveShell: 30, SurviveTieUp: 22, SurviveMoveAway: 22, SurviveFence: 8, SurviveSwingBack: 18, SurviveGetUp: 45, SurviveStayDown: 20}

// senseLevels are log-odds between real and empty onsets of a cue; biteLevels the log-odds of belief between the two.
var (
	senseLevels = [NumCues]float64{Hand: 1.4, Hip: 1.2, LegCue: 1.2, Level: 1.6}
	biteLevels  = [NumCues]float64{Hand: 0.6, Hip: 0.8, LegCue: 0.5, Level: 0.9}
)

// sizes are medians and log spreads. Reaction times: simple 0.207-0.231 s, choice 0.376-0.43 s (Woods 2015; Cojocariu 2011), of which
// the advanced group's are taken. Retraction, chin, tiring and the rest: judgement, no figure published.
var sizes = [numSizes]Posterior{
	Learning: {.5, .4}, ReactionSimple: {.215, .05}, ReactionChoice: {.385, .06}, Anticipation: {.30, .25}, AnticipationLead: {.11, .3},
	HandTime: {1, .05}, KickTime: {1, .05}, Retraction: {1, .12}, StepLength: {.32, .10},
	HandPower: {1, .15}, KickPower: {1, .15}, Chin: {1, .12}, Trunk: {1, .12}, Legs: {1, .12}, Tiring: {1, .2}, Recovery: {1, .2},
	SurgeHurt: {2.6, .15},
}

// Population gives the profile of somebody with that body of whom no tape is coded.
func Population(id string, body Body) *Profile {
	n := NumFigures()
	p := &Profile{ID: id, Body: body, Figures: make([]Posterior, n), Sources: make([]Source, n), Seen: make([]float64, n)}
	for z, row := range initiateRates {
		for m, r := range row {
			p.Figures[Initiate(Zone(z), m)] = Posterior{rateCounts, rateCounts / r}
		}
	}
	for z := range ExchangeZones {
		for m, w := range scaled(answerShares[z], tableWeight) {
			p.Figures[Answer(z, m)].A = w
		}
		for m, w := range scaled(continueShares[z], tableWeight) {
			p.Figures[Continue(z, m)].A = w
		}
	}
	for t, row := range defendShares {
		for r, w := range scaled(row, tableWeight) {
			p.Figures[Defend(Threat(t), r)].A = w
		}
	}
	for s, w := range survivalShares {
		p.Figures[Survive(Survival(s))].A = w / 5
	}
	for c := range NumCues {
		p.Figures[Sense(c)] = Posterior{senseLevels[c], senseSpread}
		p.Figures[Bite(c)] = Posterior{biteLevels[c], biteSpread}
	}
	for f := range NumFamilies {
		p.Figures[Attack(f)] = Posterior{0, skillSpread}
		p.Figures[Defence(f)] = Posterior{0, skillSpread}
	}
	for i, s := range sizes {
		p.Figures[Alone(i)] = s
	}
	for f := range p.Sources {
		if definitions[f].Doubt == Assumption {
			p.Sources[f] = FromAssumption
		}
	}
	return p
}

// scaled gives the row with its weights summing to total. Keys are summed in no particular order, so the sum is rounded.
func scaled[K comparable](row map[K]float64, total float64) map[K]float64 {
	sum := 0.0
	for _, w := range row {
		sum += w
	}
	sum = math.Round(sum*1e6) / 1e6
	out := make(map[K]float64, len(row))
	for k, w := range row {
		out[k] = float64(total*w) / sum
	}
	return out
}

// AverageBody is an average professional (stature and weight a judgement; span 1.024 and leg 0.53 of stature as in [Body.Reach]).
func AverageBody() Body {
	return Body{Stature: 1.78, Span: 1.82, Leg: 0.94, Weight: 77}
}
