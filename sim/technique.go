package sim

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// technique is how a move is made: times in microseconds, distances as a share of the limb that carries it. The times from onset to
// contact and from there to guard are the tape's (tape.Move.UsualTime, UsualRetraction), because the rule of choice points reads them off
// coded clocks.
type technique struct {
	spread int64 // standard deviation of the time from onset to contact
	cue    int64 // onset to first readable movement
	limb   limb
	reach  float64 // share of the limb's reach
	lunge  int32   // mm that the body can still fall in behind it
	power  int32   // impact of a clean one; a clean cross is 100
	clean  float64 // share that lands clean in the population's situation
}

type limb uint8

const (
	noLimb limb = iota
	hookLimb
	straightLimb
	kickLimb
)

// techniques is the table of what a body does in how long.
//
// Every spread is a judgement (no figure published). Clean shares: jab about 0.28, power punches 0.33-0.40 of attempts
// land in amateur boxing (attributed to Thomson & Lamb 2016, second-hand), of which part is partial; kicks, knees and elbows are
// judgements.
var techniques = [tape.NumMoves]technique{
	tape.MoveJab:            {70e3, 60e3, straightLimb, 1, 350, 55, .215},
	tape.MoveJabBody:        {70e3, 50e3, straightLimb, .95, 300, 45, .28},
	tape.MoveCross:          {70e3, 50e3, straightLimb, 1, 350, 100, .25},
	tape.MoveCrossBody:      {70e3, 40e3, straightLimb, .95, 300, 80, .32},
	tape.MoveLeadHook:       {80e3, 40e3, hookLimb, 1, 250, 105, .28},
	tape.MoveLeadHookBody:   {80e3, 40e3, hookLimb, 1, 200, 90, .36},
	tape.MoveRearHook:       {80e3, 30e3, hookLimb, 1.05, 250, 115, .27},
	tape.MoveRearHookBody:   {80e3, 30e3, hookLimb, 1, 200, 95, .34},
	tape.MoveOverhand:       {90e3, 20e3, hookLimb, 1.2, 350, 130, .24},
	tape.MoveUppercut:       {80e3, 40e3, hookLimb, .9, 150, 115, .28},
	tape.MoveSpin:           {110e3, 0, hookLimb, 1.25, 300, 135, .17},
	tape.MoveElbow:          {70e3, 40e3, hookLimb, .75, 200, 105, .30},
	tape.MoveKnee:           {70e3, 30e3, hookLimb, .85, 250, 100, .38},
	tape.MoveFrontKick:      {75e3, 40e3, kickLimb, 1, 150, 70, .34},
	tape.MoveSideKick:       {80e3, 20e3, kickLimb, 1.05, 150, 75, .30},
	tape.MoveLowKickCalf:    {70e3, 50e3, kickLimb, .95, 150, 70, .50},
	tape.MoveLowKickInside:  {70e3, 50e3, kickLimb, .95, 150, 55, .52},
	tape.MoveLowKickOutside: {70e3, 40e3, kickLimb, .95, 150, 75, .48},
	tape.MoveBodyKick:       {75e3, 30e3, kickLimb, 1, 150, 110, .32},
	tape.MoveHighKick:       {85e3, 20e3, kickLimb, 1, 120, 165, .14},
	tape.MoveGroundStrike:   {80e3, 40e3, noLimb, 0, 0, 50, .34},
	tape.MoveShoot:          {80e3, 40e3, straightLimb, 1.1, 500, 0, .24},
	tape.MoveTrip:           {90e3, 40e3, noLimb, 0, 0, 0, .22},
	tape.MoveSweep:          {80e3, 40e3, noLimb, 0, 0, 0, .40},
	tape.MoveTieUp:          {70e3, 60e3, straightLimb, .8, 400, 0, .45},
	tape.MoveHandFight:      {50e3, 80e3, straightLimb, 1.1, 0, 0, .50},
	tape.MoveMeasure:        {50e3, 60e3, straightLimb, 1.15, 0, 0, 0},
	tape.MoveLongGuard:      {40e3, 80e3, noLimb, 0, 0, 0, 0},
	tape.MoveRaiseKnee:      {40e3, 60e3, noLimb, 0, 0, 0, 0},
	tape.MoveFeintHand:      {40e3, 60e3, noLimb, 0, 0, 0, 0},
	tape.MoveFeintHip:       {45e3, 40e3, noLimb, 0, 0, 0, 0},
	tape.MoveFeintLeg:       {45e3, 40e3, noLimb, 0, 0, 0, 0},
	tape.MoveFeintLevel:     {45e3, 40e3, noLimb, 0, 0, 0, 0},
	tape.MoveStepIn:         {50e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveStepBack:       {50e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveCircleLeft:     {50e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveCircleRight:    {50e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveCutOff:         {50e3, 0, noLimb, 0, 0, 0, 0},
	tape.MovePush:           {120e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveBreak:          {100e3, 0, noLimb, 0, 0, 0, .45},
	tape.MoveSwitchStance:   {40e3, 0, noLimb, 0, 0, 0, 0},
	tape.MoveGetUp:          {300e3, 0, noLimb, 0, 0, 0, .40},
	tape.MoveSubmission:     {2000e3, 0, noLimb, 0, 0, 0, .16},
}

// response is how a defence is made: time from decision to protection, time it holds the fighter, microseconds.
type response struct {
	time, hold int64
	evades     bool  // what it stops misses; otherwise it is blocked
	back       int32 // mm the fighter gives
}

// Defensive movement times of 0.10-0.20 s are those of the reaction arithmetic in the literature's reading; single values are
// judgements.
var responsesTable = [fighter.NumResponses]response{
	fighter.Absorb:      {0, 150e3, false, 0},
	fighter.BrushDown:   {130e3, 250e3, false, 0},
	fighter.Catch:       {160e3, 350e3, false, 0},
	fighter.Check:       {170e3, 350e3, false, 0},
	fighter.Duck:        {150e3, 350e3, true, 0},
	fighter.GuardHigh:   {80e3, 250e3, false, 0},
	fighter.GuardLow:    {90e3, 250e3, false, 0},
	fighter.HandFight:   {130e3, 300e3, false, 0},
	fighter.LongGuard:   {110e3, 300e3, false, 0},
	fighter.Parry:       {110e3, 220e3, false, 0},
	fighter.Pull:        {120e3, 320e3, true, 60},
	fighter.Sidestep:    {190e3, 350e3, true, 0},
	fighter.Slip:        {120e3, 300e3, true, 0},
	fighter.Smother:     {160e3, 300e3, false, -150},
	fighter.Sprawl:      {190e3, 600e3, true, 150},
	fighter.StepBack:    {220e3, 350e3, true, 1}, // the fighter's own step
	fighter.StrikeFirst: {0, 0, false, 0},
	fighter.WithdrawLeg: {160e3, 280e3, true, 0},
}

// protects is what a defence made in time takes off the log-odds of a clean hit, in units of 1/128 (judgements; common practice,
// no source, for the signs: slips beat straights, ducks beat loops and lose to knees, guards are gone round by loops).
var protects = [fighter.NumThreats][fighter.NumResponses]int32{
	fighter.Straight: {fighter.GuardHigh: 150, fighter.GuardLow: 20, fighter.Parry: 210, fighter.Slip: 260, fighter.Duck: 180,
		fighter.Pull: 230, fighter.Sidestep: 240, fighter.HandFight: 170, fighter.LongGuard: 120, fighter.StepBack: 100, fighter.Smother: 60,
		fighter.Sprawl: -60},
	fighter.Looping: {fighter.GuardHigh: 95, fighter.GuardLow: 10, fighter.Parry: 60, fighter.Slip: 110, fighter.Duck: 290,
		fighter.Pull: 220, fighter.Sidestep: 150, fighter.HandFight: 20, fighter.LongGuard: 130, fighter.StepBack: 130, fighter.Smother: 150,
		fighter.Sprawl: -40},
	fighter.LowKick: {fighter.Check: 250, fighter.WithdrawLeg: 330, fighter.StepBack: 150, fighter.Catch: 80, fighter.Smother: 90,
		fighter.Slip: -30, fighter.Duck: -30},
	fighter.BodyKick: {fighter.GuardLow: 170, fighter.GuardHigh: -40, fighter.Catch: 150, fighter.StepBack: 130, fighter.Check: 190,
		fighter.Smother: 150, fighter.Sidestep: 110, fighter.Duck: -90, fighter.Slip: -40, fighter.Pull: 60},
	fighter.HighKick: {fighter.GuardHigh: 230, fighter.BrushDown: 230, fighter.Duck: 260, fighter.Pull: 280, fighter.StepBack: 150,
		fighter.Smother: 160, fighter.GuardLow: -80, fighter.Slip: -60},
	fighter.FrontKick: {fighter.GuardLow: 120, fighter.Parry: 230, fighter.Sidestep: 280, fighter.Catch: 170, fighter.StepBack: 140,
		fighter.BrushDown: 190, fighter.WithdrawLeg: 20},
	fighter.Close: {fighter.GuardHigh: 90, fighter.GuardLow: 90, fighter.Smother: 190, fighter.StepBack: 120, fighter.Duck: -160},
	fighter.Shot: {fighter.Sprawl: 330, fighter.StepBack: 60, fighter.Smother: 170, fighter.Sidestep: 170, fighter.GuardHigh: -60,
		fighter.Duck: -80, fighter.Slip: -30},
}
