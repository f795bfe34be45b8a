package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.195,  // body_kick
	1:  0.012,  // break
	4:  0.056,  // cross
	5:  0.227,  // cross_body
	7:  0.084,  // elbow
	12: 0.064,  // front_kick
	13: -0.167, // get_up
	14: -0.126, // ground_strike
	15: 0.758,  // hand_fight
	16: 0.554,  // high_kick
	17: 0.222,  // jab
	18: 0.289,  // jab_body
	19: 0.136,  // knee
	20: 0.824,  // lead_hook
	21: 0.199,  // lead_hook_body
	23: 0.232,  // low_kick_calf
	24: 0.227,  // low_kick_inside
	25: 0.188,  // low_kick_outside
	28: 0.53,   // overhand
	31: 0.353,  // rear_hook
	32: 0.387,  // rear_hook_body
	33: 0.197,  // shoot
	34: 0.332,  // side_kick
	35: 1.324,  // spin
	38: 0.029,  // submission
	39: 0.193,  // sweep
	41: 0.089,  // tie_up
	42: 0.653,  // trip
	43: 0.39,   // uppercut
}
