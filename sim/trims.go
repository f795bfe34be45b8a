package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.188,  // body_kick
	1:  0.019,  // break
	4:  0.028,  // cross
	5:  0.14,   // cross_body
	7:  0.083,  // elbow
	12: 0.037,  // front_kick
	13: -0.168, // get_up
	14: -0.147, // ground_strike
	15: 0.753,  // hand_fight
	16: 0.512,  // high_kick
	17: 0.191,  // jab
	18: 0.181,  // jab_body
	19: 0.124,  // knee
	20: 0.774,  // lead_hook
	21: 0.147,  // lead_hook_body
	23: 0.185,  // low_kick_calf
	24: 0.189,  // low_kick_inside
	25: 0.16,   // low_kick_outside
	28: 0.471,  // overhand
	31: 0.338,  // rear_hook
	32: 0.332,  // rear_hook_body
	33: 0.234,  // shoot
	34: 0.256,  // side_kick
	35: 1.197,  // spin
	38: -0.004, // submission
	39: 0.234,  // sweep
	41: 0.069,  // tie_up
	42: 0.674,  // trip
	43: 0.324,  // uppercut
}
