package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.172,  // body_kick
	1:  0.01,   // break
	4:  0.029,  // cross
	5:  0.156,  // cross_body
	7:  0.074,  // elbow
	12: 0.05,   // front_kick
	13: -0.165, // get_up
	14: -0.153, // ground_strike
	15: 0.767,  // hand_fight
	16: 0.54,   // high_kick
	17: 0.2,    // jab
	18: 0.291,  // jab_body
	19: 0.119,  // knee
	20: 0.798,  // lead_hook
	21: 0.15,   // lead_hook_body
	23: 0.237,  // low_kick_calf
	24: 0.224,  // low_kick_inside
	25: 0.171,  // low_kick_outside
	28: 0.497,  // overhand
	31: 0.335,  // rear_hook
	32: 0.373,  // rear_hook_body
	33: 0.21,   // shoot
	34: 0.296,  // side_kick
	35: 1.261,  // spin
	38: 0.068,  // submission
	39: 0.251,  // sweep
	41: 0.079,  // tie_up
	42: 0.668,  // trip
	43: 0.365,  // uppercut
}
