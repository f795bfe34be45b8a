package cmd

import (
	"encoding/json"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// No number of a sweep shows more than six digits, since the last bits of a sum differ between targets, and every point holds every
// outcome with both intervals.
func TestSweepJSON(t *testing.T) {
	code, out, _ := run(t, "sweep", "bites.hip", "--from", "1", "--to", "8", "--points", "4", "--draws", "6", "--bouts", "2", "--format", "json", "--quiet")
	require.Equal(t, ExitFine, code)
	for _, number := range regexp.MustCompile(`[:\[] *(-?[0-9][0-9.e+-]*)`).FindAllStringSubmatch(out, -1) {
		x, err := strconv.ParseFloat(number[1], 64)
		require.NoError(t, err)
		six, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
		require.NoError(t, err)
		require.Equal(t, six, x, number[1])
	}
	var got struct {
		Schema string
		Figure struct {
			Of, Source string
			Calibrated float64
			Believed   struct{ Low, High float64 }
		}
		Points []struct {
			At           float64
			Extrapolated bool
			Outcomes     map[string]struct {
				Mean       float64
				Simulation *struct{ Low, High float64 }
				AllDoubt   *struct{ Low, High float64 } `json:"all_doubt"`
			}
			FromFirst map[string]any `json:"from_first"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	require.Equal(t, "whatbout.sweep/1", got.Schema)
	require.Equal(t, "heron", got.Figure.Of, "bites are the opponent's unless said otherwise")
	require.Equal(t, "tape", got.Figure.Source)
	require.True(t, got.Figure.Believed.Low < got.Figure.Calibrated && got.Figure.Calibrated < got.Figure.Believed.High)
	require.Len(t, got.Points, 4)
	for i, p := range got.Points {
		require.InDelta(t, 1+float64(i)*7/3, p.At, 1e-5)
		require.Equal(t, p.At < got.Figure.Believed.Low || p.At > got.Figure.Believed.High, p.Extrapolated)
		require.Len(t, p.Outcomes, 10)
		require.Equal(t, i > 0, p.FromFirst != nil)
		for name, o := range p.Outcomes {
			require.NotNil(t, o.Simulation, name)
			require.NotNil(t, o.AllDoubt, name)
			require.True(t, o.Simulation.Low <= o.Mean && o.Mean <= o.Simulation.High, name)
		}
	}
}
