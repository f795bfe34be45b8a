package infer

import "gonum.org/v1/gonum/stat/distuv"

// ExpectedLoss is what is given away on average by taking an option that came out better by gap, with a standard error of se on df degrees of
// freedom: E max(0, D) for D = -gap + se·t. It is se·Ψ(gap/se), Ψ(s) = (df+s²)/(df-1)·f(s) - s·F(-s), f and F Student's density and
// distribution (Chick & Inoue 2001, Oper. Res. 49, 732–743, from memory). A
// negative gap is the loss of taking the one that came out worse. df must be above 1, or it panics; se may be 0.
func ExpectedLoss(gap, se, df float64) float64 {
	if !(df > 1) {
		panic("infer: an expected loss needs more than one degree of freedom")
	}
	if se == 0 {
		return max(-gap, 0)
	}
	s := gap / se
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	return max(se*((df+s*s)/(df-1)*t.Prob(s)-s*t.CDF(-s)), 0)
}
