// Package batch plays many bouts in parallel: goroutines, a context, and results that do not depend on how many workers there were.
// Each job fills a slot of its own; slots are reduced in index order. What a job plays is left to the caller.
package batch

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Run calls work(worker, job) for every job from 0 to jobs-1, each once, on the given number of workers (0: one a core). Workers
// are numbered from 0, so that each can keep memory of its own. done, if not nil, is called from one goroutine at a time with the
// number of jobs finished. When the context ends no further job starts; Run then returns the context's error, and the jobs that
// were finished stay in their slots. The first error of work ends the run.
func Run(ctx context.Context, jobs, workers int, work func(worker, job int) error, done func(int)) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var next, finished atomic.Int64
	var tell sync.Mutex
	var wait sync.WaitGroup
	for w := range Workers(workers, jobs) {
		wait.Go(func() {
			for ctx.Err() == nil {
				job := int(next.Add(1)) - 1
				if job >= jobs {
					return
				}
				if err := work(w, job); err != nil {
					stop(err)
					return
				}
				n := int(finished.Add(1))
				if done != nil {
					tell.Lock()
					done(n)
					tell.Unlock()
				}
			}
		})
	}
	wait.Wait()
	return context.Cause(ctx)
}

// Workers is how many workers [Run] uses.
func Workers(wanted, jobs int) int {
	if wanted <= 0 {
		wanted = runtime.GOMAXPROCS(0)
	}
	return min(wanted, max(jobs, 1))
}
