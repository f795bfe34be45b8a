package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.189,  // body_kick
	5:  0.114,  // cross_body
	7:  0.088,  // elbow
	12: 0.055,  // front_kick
	13: -0.182, // get_up
	14: -0.143, // ground_strike
	15: 0.755,  // hand_fight
	16: 0.597,  // high_kick
	17: 0.179,  // jab
	18: 0.215,  // jab_body
	19: 0.113,  // knee
	20: 0.732,  // lead_hook
	21: 0.11,   // lead_hook_body
	23: 0.159,  // low_kick_calf
	24: 0.156,  // low_kick_inside
	25: 0.158,  // low_kick_outside
	28: 0.458,  // overhand
	31: 0.277,  // rear_hook
	32: 0.332,  // rear_hook_body
	33: 0.253,  // shoot
	34: 0.297,  // side_kick
	35: 1.219,  // spin
	38: 0.047,  // submission
	39: 0.279,  // sweep
	41: 0.071,  // tie_up
	42: 0.637,  // trip
	43: 0.305,  // uppercut
}
