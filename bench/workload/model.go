// Package workload is W2: independent replications of 900 s in which two agents act by competing exponential clocks, written four times:
// on the kernel; on container/heap with the same draws, whose results are the same to the last bit; on the kernel with a stream of its own
// for every decision; and as a plain loop of fixed slots and alias tables, a yardstick between machines. It leaves timing and printing to
// its callers.
package workload

import (
	"math"

	"whatbout/sim/kernel"
)

// The sizes of the workload.
const (
	agents    = 2
	modes     = 5
	actions   = 8
	responses = 5
	horizon   = 900_000_000 // microseconds
	// Resolves under way at once: both agents together have 0.17 on average, so a seventh comes once in some ten million.
	pending = 6
)

// figures are the workload's numbers as a user would state them: chances from 0 to 1, rates a second. They are invented.
type figures struct {
	rate     [modes]float64
	action   [modes][]float64
	response [modes][]float64
	success  [modes][actions][responses]float64
	next     [modes][]float64
	resolve  float64 // chance that an action brings a resolve event
	delay    float64 // its mean delay in seconds
	spread   float64 // its standard deviation in seconds
	good     float64 // chance that a resolve succeeds
}

func newFigures() *figures {
	f := &figures{resolve: 0.3, delay: 0.25, spread: 0.04, good: 0.35}
	for m := range modes {
		f.rate[m] = 0.90 + 0.10*float64(m)
		f.action[m] = weights(actions, 3*m+1)
		f.response[m] = weights(responses, 5*m+2)
		f.next[m] = weights(modes, 7*m+3)
		for a := range actions {
			for r := range responses {
				f.success[m][a][r] = 0.10 + 0.05*float64((2*m+3*a+5*r)%13)
			}
		}
	}
	return f
}

// weights returns n uneven chances that sum to 1.
func weights(n, start int) []float64 {
	w := make([]float64, n)
	total := 0.0
	for i := range w {
		w[i] = float64(1 + (start+i*i)%7)
		total += w[i]
	}
	for i := range w {
		w[i] /= total
	}
	return w
}

// Tally is what a replication counts.
type Tally struct {
	actions, successes, resolves, good, dropped uint64
	last                                        int64  // time of the last event in microseconds
	print                                       uint64 // fingerprint of every event's time, slot and outcome
}

// Events is actions and resolves.
func (t *Tally) Events() uint64 { return t.actions + t.resolves }

// Add sums.
func (t *Tally) Add(u Tally) {
	t.actions += u.actions
	t.successes += u.successes
	t.resolves += u.resolves
	t.good += u.good
	t.dropped += u.dropped
	t.print ^= u.print
}

// Dropped is how many resolves found no slot.
func (t *Tally) Dropped() uint64 { return t.dropped }

// note folds one event into the fingerprint.
func (t *Tally) note(at int64, slot int, outcome uint64) {
	t.print = (t.print ^ uint64(at)<<8 ^ uint64(slot)<<1 ^ outcome) * 0x9e3779b97f4a7c15
	t.last = at
}

// compiled are the figures as integers for the kernel.
type compiled struct {
	mean     [modes]kernel.Mean
	action   [modes]kernel.Table
	response [modes]kernel.Table
	next     [modes]kernel.Table
	success  [modes][actions][8]uint64 // padded, so that an index can be masked
	resolve  uint64
	good     uint64
	delay    int64 // microseconds
	spread   int64 // microseconds
}

func compile(f *figures) (*compiled, error) {
	c := &compiled{
		resolve: kernel.Threshold(f.resolve), good: kernel.Threshold(f.good),
		delay: int64(math.Round(f.delay * 1e6)), spread: int64(math.Round(f.spread * 1e6)),
	}
	for m := range modes {
		c.mean[m] = kernel.MeanGap(f.rate[m])
		for _, row := range []struct {
			table   *kernel.Table
			weights []float64
		}{{&c.action[m], f.action[m]}, {&c.response[m], f.response[m]}, {&c.next[m], f.next[m]}} {
			if err := row.table.Set(row.weights); err != nil {
				return nil, err
			}
		}
		for a := range actions {
			for r := range responses {
				c.success[m][a][r] = kernel.Threshold(f.success[m][a][r])
			}
		}
	}
	return c, nil
}
