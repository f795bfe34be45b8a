package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.198,  // body_kick
	1:  0.018,  // break
	4:  0.055,  // cross
	5:  0.218,  // cross_body
	7:  0.083,  // elbow
	12: 0.063,  // front_kick
	13: -0.164, // get_up
	14: -0.131, // ground_strike
	15: 0.76,   // hand_fight
	16: 0.562,  // high_kick
	17: 0.221,  // jab
	18: 0.287,  // jab_body
	19: 0.136,  // knee
	20: 0.823,  // lead_hook
	21: 0.193,  // lead_hook_body
	23: 0.235,  // low_kick_calf
	24: 0.223,  // low_kick_inside
	25: 0.19,   // low_kick_outside
	28: 0.534,  // overhand
	31: 0.356,  // rear_hook
	32: 0.386,  // rear_hook_body
	33: 0.201,  // shoot
	34: 0.31,   // side_kick
	35: 1.328,  // spin
	38: 0.025,  // submission
	39: 0.187,  // sweep
	41: 0.091,  // tie_up
	42: 0.65,   // trip
	43: 0.384,  // uppercut
}
