package kernel

import "math"

// LogitUnit is the number of units in one logit (natural log-odds).
const LogitUnit = 128

// logitLimit is the largest logit told apart from certainty's neighbourhood: 8, a chance of 0.99966.
const logitLimit = 8 * LogitUnit

// Logistic returns the threshold of the chance 1/(1+e^-x) for a logit x in units of 1/[LogitUnit]. Within ±8 logits the table holds
// every x, and the threshold is the exact one to the nearest whole number, so the chance errs by at most 2^-33; beyond, x counts as
// ±8, which errs by at most 0.00034. Rounding a logit to the unit beforehand moves the chance by at most 0.001.
func Logistic(x int32) uint64 {
	return uint64(logisticNodes[min(max(x, -logitLimit), logitLimit)+logitLimit])
}

// Logit returns the log-odds ln(p/(1-p)) of the chance p, from 0 to 1, in units of 1/[LogitUnit], to the nearest unit, held within ±8
// logits. It panics if p is not a number or out of range.
func Logit(p float64) int32 {
	if !(p >= 0 && p <= 1) {
		panic("kernel: a chance lies from 0 to 1")
	}
	if p < 1e-9 || p > 1-1e-9 {
		return int32(math.Copysign(logitLimit, p-0.5))
	}
	x := math.Round(LogitUnit * logarithm(p/(1-p)))
	return int32(min(max(x, -logitLimit), logitLimit))
}

// logisticNodes holds the threshold for every logit from -8 to 8.
var logisticNodes = newLogisticNodes()

func newLogisticNodes() (nodes [2*logitLimit + 1]uint32) {
	for i := range nodes {
		x := float64(i-logitLimit) / LogitUnit
		nodes[i] = uint32(math.Round(float64(Certain) / (1 + exponent(-x))))
	}
	return nodes
}
