package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.163,  // body_kick
	1:  -0.006, // break
	4:  0.015,  // cross
	5:  0.166,  // cross_body
	7:  0.091,  // elbow
	12: 0.067,  // front_kick
	13: -0.191, // get_up
	14: -0.159, // ground_strike
	15: 0.786,  // hand_fight
	16: 0.543,  // high_kick
	17: 0.186,  // jab
	18: 0.149,  // jab_body
	19: 0.114,  // knee
	20: 0.739,  // lead_hook
	21: 0.104,  // lead_hook_body
	23: 0.192,  // low_kick_calf
	24: 0.202,  // low_kick_inside
	25: 0.141,  // low_kick_outside
	28: 0.477,  // overhand
	31: 0.299,  // rear_hook
	32: 0.323,  // rear_hook_body
	33: 0.28,   // shoot
	34: 0.341,  // side_kick
	35: 1.13,   // spin
	38: 0.009,  // submission
	39: 0.32,   // sweep
	41: 0.078,  // tie_up
	42: 0.616,  // trip
	43: 0.313,  // uppercut
}
