package sim

import (
	"flag"
	"fmt"
	"go/format"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
	"whatbout/tape"
)

var update = flag.Bool("update", false, "work the trims out again and write trims.go")

// shares plays evenly matched bouts and gives tries and shares that came off, by move.
func shares(b *Bout, bouts int) (tries, share [tape.NumMoves]float64) {
	var made [tape.NumMoves]float64
	for i := range bouts {
		b.Run(kernel.NewKey(0x7472696d, uint64(i)))
		for _, e := range b.Events {
			m := tape.MoveOf(e.Act, e.Value)
			tries[m]++
			if e.Result.IsClean() || e.Result == tape.TakenDown || e.Result == tape.Made {
				made[m]++
			}
		}
	}
	for m := range share {
		share[m] = made[m] / max(tries[m], 1)
	}
	return tries, share
}

// With the trims in place, average fighters' shares are the techniques' own: mechanics average zero at the population's situation.
// Tolerance: 4.9 standard errors of the share in the bouts played here, plus the same in the bouts that the trims were worked out on.
func TestTrimsCentreTheMechanics(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	if *update {
		updateTrims(t, b)
	}
	const bouts = 600
	tries, share := shares(b, bouts)
	for m, technique := range techniques {
		if p := technique.clean; p > 0 && tries[m] > 300 {
			se := math.Sqrt(p * (1 - p) / tries[m])
			require.InDelta(t, p, share[m], 4.9*se*(1+math.Sqrt(float64(bouts)/trimBouts)), "%s of %.0f tries", tape.Move(m), tries[m])
		}
	}
}

const trimBouts = 3000

func updateTrims(t *testing.T, b *Bout) {
	for range 6 {
		tries, share := shares(b, trimBouts)
		for m, technique := range techniques {
			if technique.clean > 0 && tries[m] > 100 && share[m] > 0 && share[m] < 1 {
				trims[m] += math.Log(technique.clean/(1-technique.clean)) - math.Log(share[m]/(1-share[m]))
				trims[m] = math.Round(trims[m]*1000) / 1000
				b.World.Intercepts[m] = math.Log(technique.clean/(1-technique.clean)) + trims[m]
			}
		}
		b.Setup(b.Rules, b.World)
	}
	out := "package sim\n\nimport \"whatbout/tape\"\n\n" +
		"// trims are what mechanics take off the techniques' shares in the population's situation, put back in log-odds, so that a share\n" +
		"// taken from tape is not worsened a second time. Written by go test ./sim -run TestTrims -update, over evenly matched bouts of\n" +
		"// average fighters; do not edit.\nvar trims = [tape.NumMoves]float64{\n"
	for m, x := range trims {
		if x != 0 {
			out += fmt.Sprintf("\t%d: %g, // %s\n", m, x, tape.Move(m))
		}
	}
	source, err := format.Source([]byte(out + "}\n"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("trims.go", source, 0o644))
}
