package batch_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

func spec(bouts, workers int) batch.Spec {
	return batch.Spec{
		Setup: func(b *sim.Bout) error {
			rules, err := tape.RuleSetNamed("mma-3x5")
			if err != nil {
				return err
			}
			b.Setup(rules, sim.AverageWorld())
			body := fighter.AverageBody()
			for c := range b.Sides {
				if err := b.Sides[c].Load(body, fighter.Population("average", body).Centre(), nil, nil, rules); err != nil {
					return err
				}
			}
			return nil
		},
		Key:     func(i int) kernel.Key { return kernel.NewKey(17, uint64(i)) },
		Bouts:   bouts,
		Workers: workers,
	}
}

// The same tally for any number of workers; every bout is shown once; partial results grow to the whole.
func TestPlayIsTheSameForAnyWorkers(t *testing.T) {
	var first sim.Tally
	for _, workers := range []int{1, 2, 8} {
		s := spec(150, workers)
		seen := make([]int, s.Bouts)
		s.See = func(i int, _ *sim.Bout, o *sim.Outcome) { seen[i]++ }
		last := int64(0)
		s.Partial = func(t sim.Tally) { last = t.Bouts }
		got, err := batch.Play(context.Background(), s)
		require.NoError(t, err)
		require.Equal(t, int64(150), got.Bouts)
		require.Equal(t, got.Bouts, last)
		for i, n := range seen {
			require.Equal(t, 1, n, i)
		}
		if workers == 1 {
			first = got
		}
		require.Equal(t, first, got)
	}
}

// A cancelled batch returns what is done.
func TestCancelledPlayReturnsWhatIsDone(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s := spec(10_000, 2)
	s.Partial = func(sim.Tally) { cancel() }
	got, err := batch.Play(ctx, s)
	require.ErrorIs(t, err, context.Canceled)
	require.Positive(t, got.Bouts)
	require.Less(t, got.Bouts, int64(10_000))
}

func TestPlayRefusesNothingToPlay(t *testing.T) {
	_, err := batch.Play(context.Background(), batch.Spec{})
	require.Error(t, err)
}
