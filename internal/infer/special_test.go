package infer

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// What all bounds stand on: gonum's functions against 40-digit arithmetic (exact; computed).
func TestSpecialFunctions(t *testing.T) {
	check := func(what string, got, want float64) { t.Helper(); relative(t, what, got, want, 1e-12) }
	n := distuv.UnitNormal
	check("Φ(1.96)", n.CDF(1.96), 0.9750021048517795)
	check("Φ(-5)", n.CDF(-5), 2.866515718791939e-07)
	check("Φ(-10)", n.CDF(-10), 7.619853024160525e-24)
	for _, q := range [][2]float64{{.975, 1.9599639845400543}, {.995, 2.575829303548901}, {.9, 1.2815515655446004},
		{1e-10, -6.361340902404057}, {.5, 0}} {
		check("normal quantile", n.Quantile(q[0]), q[1])
	}
	for _, q := range [][3]float64{{1, .975, 12.706204736174705}, {4, .95, 2.1318467863266504}, {10, .975, 2.228138851986275},
		{30, .995, 2.7499956535672254}, {3, .9995, 12.923978636687483}} {
		check("t quantile", distuv.StudentsT{Sigma: 1, Nu: q[0]}.Quantile(q[1]), q[2])
	}
	for _, q := range [][3]float64{{1, .95, 3.841458820694126}, {10, .95, 18.307038053275146}, {100, .05, 77.92946516501726},
		{2, .99, 9.210340371976184}, {255, .999, 330.51974363400586}, {9, .95, 16.918977604620448}, {9, .999, 27.877164871256568}} {
		check("χ² quantile", distuv.ChiSquared{K: q[0]}.Quantile(q[1]), q[2])
	}
	for _, q := range [][4]float64{{3, 12, .975, 4.474184809637749}, {3, 12, .025, 0.06975177682217745}, {5, 24, .95, 2.6206541478628873}} {
		check("F quantile", distuv.F{D1: q[0], D2: q[1]}.Quantile(q[2]), q[3])
	}
	for _, q := range [][4]float64{{2, 3, .5, 0.6875}, {10, 10, .1, 3.929882327128e-06}, {.5, .5, .99, 0.9362314391414801},
		{.1, 5, 1e-6, 0.307288374999505}} {
		check("incomplete beta", mathext.RegIncBeta(q[0], q[1], q[2]), q[3])
	}
	for _, q := range [][3]float64{{1, 1, 0.6321205588285577}, {.5, 2, 0.9544997361036416}, {100, 100, 0.5132987982791487},
		{10, .1, 2.5163478067703148e-17}} {
		check("incomplete gamma", mathext.GammaIncReg(q[0], q[1]), q[2])
	}
}

// Quantiles undo their distribution functions over the counts that occur here: effective counts from a tenth to a million. Where a
// gamma's quantile lies under 1e-15 gonum may give 0, which as a bound of a rate is as good.
func TestQuantilesUndo(t *testing.T) {
	for _, p := range []float64{.005, .025, .3, .975, .995} {
		for _, a := range []float64{.1, .5, 1, 7.5, 1e3, 1e6} {
			g := distuv.Gamma{Alpha: a, Beta: 1}
			if g.CDF(1e-15) < p {
				relative(t, "gamma", g.CDF(g.Quantile(p)), p, 1e-9)
			} else {
				require.LessOrEqual(t, g.Quantile(p), 1e-15)
			}
			for _, b := range []float64{.5, 3, 1e4} {
				d := distuv.Beta{Alpha: a, Beta: b}
				relative(t, "beta", d.CDF(d.Quantile(p)), p, 1e-8) // 4e-9 at a million against a half, else under 1e-10
			}
		}
		for _, nu := range []float64{1, 2, 19, 99, 1e5} {
			d := distuv.StudentsT{Sigma: 1, Nu: nu}
			relative(t, "t", d.CDF(d.Quantile(p)), p, 1e-9)
		}
	}
}
