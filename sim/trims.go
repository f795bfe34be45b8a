package sim

import "whatbout/tape"

// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share
// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of
// average fighters; do not edit.
var trims = [tape.NumMoves]float64{
	0:  0.159,  // body_kick
	1:  -0.005, // break
	4:  0.018,  // cross
	5:  0.178,  // cross_body
	7:  0.09,   // elbow
	12: 0.067,  // front_kick
	13: -0.193, // get_up
	14: -0.155, // ground_strike
	15: 0.789,  // hand_fight
	16: 0.541,  // high_kick
	17: 0.183,  // jab
	18: 0.144,  // jab_body
	19: 0.112,  // knee
	20: 0.739,  // lead_hook
	21: 0.1,    // lead_hook_body
	23: 0.189,  // low_kick_calf
	24: 0.197,  // low_kick_inside
	25: 0.142,  // low_kick_outside
	28: 0.483,  // overhand
	31: 0.304,  // rear_hook
	32: 0.324,  // rear_hook_body
	33: 0.279,  // shoot
	34: 0.351,  // side_kick
	35: 1.11,   // spin
	38: 0.022,  // submission
	39: 0.32,   // sweep
	41: 0.078,  // tie_up
	42: 0.623,  // trip
	43: 0.315,  // uppercut
}
