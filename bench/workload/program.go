package workload

import (
	"time"

	"whatbout/sim/kernel"
)

// Program is one way to run the workload.
type Program struct {
	Name string
	Run  func(kernel.Key) Tally
}

// Readable is the index of the yardstick in Programs.
const Readable = 3

// Programs gives the four: the kernel first, then its twin.
func Programs() ([]Program, error) {
	f := newFigures()
	c, err := compile(f)
	if err != nil {
		return nil, err
	}
	ticked, err := newTicked(f, c)
	if err != nil {
		return nil, err
	}
	return []Program{
		{"kernel", c.run},
		{"container/heap, same draws", newPlain(f, c).run},
		{"kernel, keyed ticks", ticked.run},
		{"readable slots, alias tables", newReadable(f).run},
	}, nil
}

// Measure runs replications from first on and returns their sum and the time taken.
func (p Program) Measure(first, count int) (sum Tally, elapsed time.Duration) {
	start := time.Now()
	for i := range count {
		sum.Add(p.Run(kernel.NewKey(1, uint64(first+i))))
	}
	return sum, time.Since(start)
}
