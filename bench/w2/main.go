package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"whatbout/sim/kernel"
)

// program is one way to run the workload.
type program struct {
	name string
	run  func(kernel.Key) tally
}

func programs() ([]program, error) {
	f := newFigures()
	c, err := compile(f)
	if err != nil {
		return nil, err
	}
	ticked, err := newTicked(f, c)
	if err != nil {
		return nil, err
	}
	return []program{
		{"kernel", c.run},
		{"container/heap, same draws", newPlain(f, c).run},
		{"kernel, keyed ticks", ticked.run},
		{"readable slots, alias tables", newReadable(f).run},
	}, nil
}

// measure runs replications from first on and returns their sum and the time taken.
func (p program) measure(first, count int) (sum tally, elapsed time.Duration) {
	start := time.Now()
	for i := range count {
		sum.add(p.run(kernel.NewKey(1, uint64(first+i))))
	}
	return sum, time.Since(start)
}

// onTwoCores runs the replications on two cores, which take them in chunks of 64 from a common counter, and returns the time taken.
func (p program) onTwoCores(first, count int) time.Duration {
	var taken atomic.Int64
	var group sync.WaitGroup
	start := time.Now()
	for range 2 {
		group.Go(func() {
			for done := int(taken.Add(64)) - 64; done < count; done = int(taken.Add(64)) - 64 {
				p.measure(first+done, min(64, count-done))
			}
		})
	}
	group.Wait()
	return time.Since(start)
}

// report runs the programs in turn, rounds times, and prints for each the best round (the machine may be shared).
func report(w io.Writer, rounds, count int) error {
	ps, err := programs()
	if err != nil {
		return err
	}
	best := make([]float64, len(ps))
	sums := make([]tally, len(ps))
	both := 0.0 // events a second of the kernel on two cores
	for round := range rounds {
		for i, p := range ps {
			sum, elapsed := p.measure(round*count, count)
			sums[i].add(sum)
			best[i] = max(best[i], float64(sum.events())/elapsed.Seconds())
			if i == 0 {
				both = max(both, float64(sum.events())/p.onTwoCores(round*count, count).Seconds())
			}
		}
	}
	if sums[0] != sums[1] {
		return fmt.Errorf("w2: the kernel and its twin differ: %+v, %+v", sums[0], sums[1])
	}
	fmt.Fprintf(w, "%-30s %12s %18s %14s\n", "program", "M events/s", "replications/s", "of readable")
	for i, p := range ps {
		each := float64(sums[i].events()) / float64(rounds*count)
		fmt.Fprintf(w, "%-30s %12.1f %18.0f %14.2f\n", p.name, best[i]/1e6, best[i]/each, best[i]/best[len(ps)-1])
	}
	fmt.Fprintf(w, "kernel on two cores: %.2f times one core\n", both/best[0])
	fmt.Fprintf(w, "kernel and heap twin agree in every event of %d replications; resolves without a slot: %d\n", rounds*count, sums[0].dropped)
	return nil
}

func main() {
	if err := report(os.Stdout, 7, 2000); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
