package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.287,  // body_kick
	1:  -0.01,  // break
	4:  0.149,  // cross
	5:  0.199,  // cross_body
	7:  0.073,  // elbow
	12: 0.015,  // front_kick
	13: -0.207, // get_up
	14: -0.114, // ground_strike
	15: 0.615,  // hand_fight
	16: 0.573,  // high_kick
	17: 0.272,  // jab
	18: 0.167,  // jab_body
	19: 0.091,  // knee
	20: 0.815,  // lead_hook
	21: 0.198,  // lead_hook_body
	23: 0.126,  // low_kick_calf
	24: 0.157,  // low_kick_inside
	25: 0.299,  // low_kick_outside
	28: 0.532,  // overhand
	31: 0.388,  // rear_hook
	32: 0.283,  // rear_hook_body
	33: 0.278,  // shoot
	34: 0.3,    // side_kick
	35: 1.047,  // spin
	38: -0.037, // submission
	39: 0.221,  // sweep
	41: 0.055,  // tie_up
	42: 0.666,  // trip
	43: 0.325,  // uppercut
}
