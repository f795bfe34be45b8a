package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.173,  // body_kick
	1:  -0.015, // break
	4:  0.015,  // cross
	5:  0.185,  // cross_body
	7:  0.116,  // elbow
	12: 0.069,  // front_kick
	13: -0.149, // get_up
	14: -0.145, // ground_strike
	15: 0.776,  // hand_fight
	16: 0.53,   // high_kick
	17: 0.191,  // jab
	18: 0.188,  // jab_body
	19: 0.124,  // knee
	20: 0.734,  // lead_hook
	21: 0.143,  // lead_hook_body
	23: 0.141,  // low_kick_calf
	24: 0.204,  // low_kick_inside
	25: 0.152,  // low_kick_outside
	28: 0.46,   // overhand
	31: 0.304,  // rear_hook
	32: 0.317,  // rear_hook_body
	33: 0.241,  // shoot
	34: 0.307,  // side_kick
	35: 1.296,  // spin
	38: -0.076, // submission
	39: 0.244,  // sweep
	41: 0.07,   // tie_up
	42: 0.608,  // trip
	43: 0.297,  // uppercut
}
