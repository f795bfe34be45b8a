package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.159,  // body_kick
	1:  -0.004, // break
	4:  0.019,  // cross
	5:  0.165,  // cross_body
	7:  0.084,  // elbow
	12: 0.066,  // front_kick
	13: -0.192, // get_up
	14: -0.154, // ground_strike
	15: 0.784,  // hand_fight
	16: 0.539,  // high_kick
	17: 0.182,  // jab
	18: 0.147,  // jab_body
	19: 0.113,  // knee
	20: 0.737,  // lead_hook
	21: 0.102,  // lead_hook_body
	23: 0.189,  // low_kick_calf
	24: 0.198,  // low_kick_inside
	25: 0.142,  // low_kick_outside
	28: 0.485,  // overhand
	31: 0.3,    // rear_hook
	32: 0.322,  // rear_hook_body
	33: 0.282,  // shoot
	34: 0.347,  // side_kick
	35: 1.116,  // spin
	38: 0.009,  // submission
	39: 0.321,  // sweep
	41: 0.078,  // tie_up
	42: 0.618,  // trip
	43: 0.312,  // uppercut
}
