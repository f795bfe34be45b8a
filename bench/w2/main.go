// Command w2 puts the kernel to workload W2. It runs the four programs of that one workload in turn, in one process on one core, and
// prints their events a second and the ratios.
package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"whatbout/bench/workload"
)

// onTwoCores runs the replications on two cores, which take them in chunks of 64 from a common counter, and returns the time taken.
func onTwoCores(p workload.Program, first, count int) time.Duration {
	var taken atomic.Int64
	var group sync.WaitGroup
	start := time.Now()
	for range 2 {
		group.Go(func() {
			for done := int(taken.Add(64)) - 64; done < count; done = int(taken.Add(64)) - 64 {
				p.Measure(first+done, min(64, count-done))
			}
		})
	}
	group.Wait()
	return time.Since(start)
}

// report runs the programs in turn, rounds times, and prints for each the best round (the machine may be shared).
func report(w io.Writer, rounds, count int) error {
	ps, err := workload.Programs()
	if err != nil {
		return err
	}
	best := make([]float64, len(ps))
	sums := make([]workload.Tally, len(ps))
	both := 0.0 // events a second of the kernel on two cores
	for round := range rounds {
		for i, p := range ps {
			sum, elapsed := p.Measure(round*count, count)
			sums[i].Add(sum)
			best[i] = max(best[i], float64(sum.Events())/elapsed.Seconds())
			if i == 0 {
				both = max(both, float64(sum.Events())/onTwoCores(p, round*count, count).Seconds())
			}
		}
	}
	if sums[0] != sums[1] {
		return fmt.Errorf("w2: the kernel and its twin differ: %+v, %+v", sums[0], sums[1])
	}
	fmt.Fprintf(w, "%-30s %12s %18s %14s\n", "program", "M events/s", "replications/s", "of readable")
	for i, p := range ps {
		each := float64(sums[i].Events()) / float64(rounds*count)
		fmt.Fprintf(w, "%-30s %12.1f %18.0f %14.2f\n", p.Name, best[i]/1e6, best[i]/each, best[i]/best[workload.Readable])
	}
	fmt.Fprintf(w, "kernel on two cores: %.2f times one core\n", both/best[0])
	fmt.Fprintf(w, "kernel and heap twin agree in every event of %d replications; resolves without a slot: %d\n", rounds*count, sums[0].Dropped())
	return nil
}

func main() {
	if err := report(os.Stdout, 7, 2000); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
