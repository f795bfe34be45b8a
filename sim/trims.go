package sim

import "whatbout/tape"

// trims are the log-odds that average zero at the population's situation: what mechanics take off is put back here, so that a share
// taken from tape is not worsened a second time. Recorded by the test's -update flag over evenly matched bouts of average fighters.
var trims = [tape.NumMoves]float64{}
