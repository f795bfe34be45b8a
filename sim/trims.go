package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.156,  // body_kick
	1:  0.013,  // break
	4:  0.015,  // cross
	5:  0.143,  // cross_body
	7:  0.135,  // elbow
	12: 0.085,  // front_kick
	13: -0.16,  // get_up
	14: -0.152, // ground_strike
	15: 0.778,  // hand_fight
	16: 0.528,  // high_kick
	17: 0.183,  // jab
	18: 0.13,   // jab_body
	19: 0.118,  // knee
	20: 0.771,  // lead_hook
	21: 0.163,  // lead_hook_body
	23: 0.153,  // low_kick_calf
	24: 0.207,  // low_kick_inside
	25: 0.161,  // low_kick_outside
	28: 0.472,  // overhand
	31: 0.315,  // rear_hook
	32: 0.289,  // rear_hook_body
	33: 0.215,  // shoot
	34: 0.262,  // side_kick
	35: 1.417,  // spin
	38: -0.07,  // submission
	39: 0.313,  // sweep
	41: 0.059,  // tie_up
	42: 0.653,  // trip
	43: 0.292,  // uppercut
}
