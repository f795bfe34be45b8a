package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.186,  // body_kick
	1:  0.004,  // break
	4:  0.005,  // cross
	5:  0.124,  // cross_body
	7:  0.084,  // elbow
	12: 0.052,  // front_kick
	13: -0.182, // get_up
	14: -0.148, // ground_strike
	15: 0.751,  // hand_fight
	16: 0.601,  // high_kick
	17: 0.179,  // jab
	18: 0.218,  // jab_body
	19: 0.115,  // knee
	20: 0.732,  // lead_hook
	21: 0.11,   // lead_hook_body
	23: 0.159,  // low_kick_calf
	24: 0.157,  // low_kick_inside
	25: 0.157,  // low_kick_outside
	28: 0.458,  // overhand
	31: 0.277,  // rear_hook
	32: 0.333,  // rear_hook_body
	33: 0.253,  // shoot
	34: 0.282,  // side_kick
	35: 1.213,  // spin
	38: 0.055,  // submission
	39: 0.281,  // sweep
	41: 0.073,  // tie_up
	42: 0.63,   // trip
	43: 0.303,  // uppercut
}
