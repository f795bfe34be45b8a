package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.14,   // body_kick
	1:  0.012,  // break
	4:  0.039,  // cross
	5:  0.107,  // cross_body
	7:  0.118,  // elbow
	12: 0.07,   // front_kick
	13: -0.181, // get_up
	14: -0.149, // ground_strike
	15: 0.753,  // hand_fight
	16: 0.577,  // high_kick
	17: 0.188,  // jab
	18: 0.234,  // jab_body
	19: 0.143,  // knee
	20: 0.802,  // lead_hook
	21: 0.155,  // lead_hook_body
	23: 0.178,  // low_kick_calf
	24: 0.239,  // low_kick_inside
	25: 0.155,  // low_kick_outside
	28: 0.52,   // overhand
	31: 0.341,  // rear_hook
	32: 0.32,   // rear_hook_body
	33: 0.218,  // shoot
	34: 0.339,  // side_kick
	35: 1.42,   // spin
	38: -0.021, // submission
	39: 0.248,  // sweep
	41: 0.072,  // tie_up
	42: 0.637,  // trip
	43: 0.338,  // uppercut
}
