package sim

import (
	"math"

	"whatbout/sim/kernel"
)

// lnTable holds logarithms of counts in logit units; beyond its end a bout learns no more.
var lnTable = func() (t [512]int32) {
	for n := 1; n < len(t); n++ {
		t[n] = int32(math.Round(math.Log(float64(n)) * kernel.LogitUnit))
	}
	return t
}()

// lnShift turns a multiple of odds into a shift of log-odds; never and always lie beyond every percept.
func lnShift(multiple float64) int32 {
	if multiple <= 0 {
		return -1 << 20
	}
	return int32(math.Round(max(min(math.Log(multiple), 100), -100) * kernel.LogitUnit))
}
