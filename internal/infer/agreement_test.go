package infer

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Published agreement figures, full digits, each with its source, in testdata/agreement.json. All are closed forms: relative 1e-9.
type agreementRow struct {
	ID, What, Source string
	Value            []float64
}

func agreementRows(t *testing.T) map[string]agreementRow {
	t.Helper()
	data, err := os.ReadFile("testdata/agreement.json")
	require.NoError(t, err)
	var list []agreementRow
	require.NoError(t, json.Unmarshal(data, &list))
	out := map[string]agreementRow{}
	for _, r := range list {
		require.NotEmpty(t, r.Source)
		out[r.ID] = r
	}
	return out
}

// published holds figures to a row, all of them.
func (r agreementRow) published(t *testing.T, got ...float64) {
	t.Helper()
	require.Len(t, got, len(r.Value), r.ID)
	for i, want := range r.Value {
		relative(t, r.ID+" "+r.What, got[i], want, 1e-9)
	}
}

// votes reads units of codes 1 to q, a word each, as counts by code.
func votes(words string, q int) (units []Rated) {
	for _, word := range strings.Fields(words) {
		counts := make([]float64, q)
		for _, c := range word {
			counts[c-'1']++
		}
		units = append(units, Rated{counts, 1})
	}
	return units
}

// tallied reads units of counts, a word each.
func tallied(words string) (units []Rated) {
	for _, word := range strings.Fields(words) {
		var counts []float64
		for _, c := range word {
			counts = append(counts, float64(c-'0'))
		}
		units = append(units, Rated{counts, 1})
	}
	return units
}

// byObserver reads one string an observer; '.' is a missing value. Letters count from a.
func byObserver(observers ...string) [][]float64 {
	units := make([][]float64, len(observers[0]))
	for _, o := range observers {
		for i, c := range o {
			if c != '.' {
				units[i] = append(units[i], float64(c))
			}
		}
	}
	return units
}

var (
	cohen1960 = Crosstab{{88, 14, 18}, {10, 40, 10}, {2, 6, 12}}
	gwet2008  = Crosstab{{13, 0, 0}, {0, 20, 7}, {0, 4, 56}}
)

func TestKappaPublished(t *testing.T) {
	rows := agreementRows(t)
	k := Kappa(cohen1960, .95)
	rows["A1.1"].published(t, k.Observed, k.Expected)
	rows["A1.1k"].published(t, k.Centre)
	rows["A1.1n"].published(t, k.SE, k.SE0)
	// The error of the 1960 paper is superseded; a formula that gave it would be the wrong one.
	require.Greater(t, math.Abs(k.SE-rows["A1.1s"].Value[0]), .003)

	w := WeightedKappa(cohen1960, AgreementWeights(Crosstab{{0, 1, 3}, {1, 0, 6}, {3, 6, 0}}), .95)
	rows["A1.2"].published(t, w.Centre)

	k = Kappa(Crosstab{{106, 10, 4}, {22, 28, 10}, {2, 12, 6}}, .95)
	rows["A1.3"].published(t, k.Observed, k.Expected)
	rows["A1.3k"].published(t, k.Centre, k.SE*k.SE, k.SE, k.SE0)
	// The interval stands on SE, not SE0: z = 1.959964.
	require.InDelta(t, k.Centre-1.959963984540054*k.SE, k.Low, 1e-12)
	require.InDelta(t, k.Centre+1.959963984540054*k.SE, k.High, 1e-12)

	k = Kappa(Crosstab{{0, 4, 1}, {0, 8, 0}, {0, 1, 5}}, .95)
	for i, got := range []float64{k.Centre, k.SE, k.Low, k.High, k.SE0} {
		relative(t, "A1.4", got, rows["A1.4"].Value[i], 1e-6) // the limits stand on a quantile
	}
	k = Kappa(gwet2008, .95)
	rows["A1.12k"].published(t, k.Centre, k.SE)

	a, b := Kappa(Crosstab{{40, 9}, {6, 45}}, .95), Kappa(Crosstab{{80, 10}, {5, 5}}, .95)
	rows["A1.15"].published(t, a.Observed, a.Centre, b.Observed, b.Centre)
}

func TestFleissPublished(t *testing.T) {
	rows := agreementRows(t)
	fleiss := votes(`444444 222555 233335 555555 222444 113333 333355 113334 114444 555555
		144444 124444 222333 144444 224445 333335 111455 111112 224444 133555
		555555 244444 224555 114444 144445 222224 111155 224444 133333 555555`, 5)
	rows["A1.5p"].published(t, shareOf(fleiss, 30)...)
	k := FleissKappa(fleiss, .95)
	rows["A1.5"].published(t, k.Observed, k.Expected, k.Centre)

	k = FleissKappa([]Rated{{[]float64{0, 0, 0, 0, 14}, 1}, {[]float64{0, 2, 6, 4, 2}, 1}, {[]float64{0, 0, 3, 5, 6}, 1}, {[]float64{0, 3, 9, 2, 0}, 1},
		{[]float64{2, 2, 8, 1, 1}, 1}, {[]float64{7, 7, 0, 0, 0}, 1}, {[]float64{3, 2, 6, 3, 0}, 1}, {[]float64{2, 5, 3, 2, 2}, 1},
		{[]float64{6, 5, 2, 1, 0}, 1}, {[]float64{0, 2, 2, 3, 7}, 1}}, .95)
	rows["A1.6"].published(t, k.Observed, k.Expected, k.Centre)

	relative(t, "A1.7", FleissKappa(tallied("71 35"), .95).Centre, rows["A1.7"].Value[0], 1e-9)
	relative(t, "A1.7~2", FleissKappa(tallied("610 070"), .95).Centre, rows["A1.7~2"].Value[0], 1e-9)
	rows["A1.12p"].published(t, FleissKappa(RatedPairs(gwet2008), .95).Centre) // Scott's pi
}

func TestAC1Published(t *testing.T) {
	rows := agreementRows(t)
	c := AC1(RatedPairs(gwet2008), .95)
	rows["A1.12"].published(t, c.Centre, c.SE)
	many := tallied("00060 03003 01401 00006 03030 20400 00402 20310 20040 00006 10050 11040 03300 10050 02031")
	c, f := AC1(many, .95), FleissKappa(many, .95)
	rows["A1.13"].published(t, c.Observed, f.Expected, f.Centre, c.Centre, c.Expected)
	rows["A1.15a"].published(t, AC1(RatedPairs(Crosstab{{40, 9}, {6, 45}}), .95).Centre, AC1(RatedPairs(Crosstab{{80, 10}, {5, 5}}), .95).Centre)
}

func TestAlphaPublished(t *testing.T) {
	rows := agreementRows(t)
	units := byObserver("123321412...", "1233224125.3", ".3332342251.", "12332441251.")
	alpha := func(u [][]float64, m Metric) float64 { return Alpha(u, m, .95, 200, random(1)).Centre }
	rows["A1.8no"].published(t, alpha(units, Nominal))
	rows["A1.8in"].published(t, alpha(units, IntervalMetric))
	margins, diagonal := coincidences(units)
	rows["A1.8m"].published(t, margins...)
	rows["A1.8d"].published(t, diagonal...)
	require.Equal(t, 11., Alpha(units, Nominal, .95, 200, random(1)).Count) // the twelfth unit has one value

	rows["A1.9"].published(t, alpha(byObserver("0100000010", "1110010000"), Nominal))
	rows["A1.10"].published(t, alpha(byObserver("aabbdcccedda", "babbbccceddd"), Nominal))
	var pairs [][]float64
	for _, u := range RatedPairs(gwet2008) {
		for range int(u.Weight) {
			var values []float64
			for k, n := range u.Counts {
				for range int(n) {
					values = append(values, float64(k))
				}
			}
			pairs = append(pairs, values)
		}
	}
	rows["A1.12a"].published(t, alpha(pairs, Nominal))
}

// coincidences builds Krippendorff's coincidence matrix from the units the code keeps.
func coincidences(units [][]float64) (margins, diagonal []float64) {
	s := newAlphaSums(pairable(units), Nominal)
	margins, diagonal = make([]float64, s.values), make([]float64, s.values)
	for _, u := range s.of {
		for i, v := range u {
			margins[v]++
			for j, w := range u {
				if i != j && v == w {
					diagonal[v] += 1 / float64(len(u)-1)
				}
			}
		}
	}
	return margins, diagonal
}
