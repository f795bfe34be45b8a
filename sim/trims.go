package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.172,  // body_kick
	1:  -0.013, // break
	4:  0.014,  // cross
	5:  0.18,   // cross_body
	7:  0.114,  // elbow
	12: 0.072,  // front_kick
	13: -0.148, // get_up
	14: -0.14,  // ground_strike
	15: 0.778,  // hand_fight
	16: 0.535,  // high_kick
	17: 0.19,   // jab
	18: 0.177,  // jab_body
	19: 0.128,  // knee
	20: 0.738,  // lead_hook
	21: 0.14,   // lead_hook_body
	23: 0.14,   // low_kick_calf
	24: 0.206,  // low_kick_inside
	25: 0.151,  // low_kick_outside
	28: 0.46,   // overhand
	31: 0.305,  // rear_hook
	32: 0.317,  // rear_hook_body
	33: 0.251,  // shoot
	34: 0.307,  // side_kick
	35: 1.295,  // spin
	38: -0.071, // submission
	39: 0.243,  // sweep
	41: 0.063,  // tie_up
	42: 0.608,  // trip
	43: 0.299,  // uppercut
}
