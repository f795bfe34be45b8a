package web

import (
	"context"
	"errors"
	"sync"
)

// errFull says that too many wait already.
var errFull = errors.New("too many are waiting for an answer; try again in a moment")

// queue lets few runs play at a time, since each takes every core, and few wait; who comes after those is refused at once.
type queue struct {
	mu      sync.Mutex
	free    int // runs that may begin
	most    int // that may wait
	waiting []chan struct{}
}

func newQueue(running, waiting int) *queue { return &queue{free: running, most: waiting} }

// enter waits for its turn, in the order of coming. moved is told the place in the line, from 1, when it waits and each time that it moves up; it
// is called by this goroutine alone. The caller must call leave after a nil error. It fails with errFull, or when the context ends.
func (q *queue) enter(ctx context.Context, moved func(place int)) error {
	turn, err := q.line()
	if turn == nil {
		return err
	}
	for {
		if place := q.place(turn); place > 0 {
			moved(place)
		}
		select {
		case _, open := <-turn:
			if !open {
				return nil
			}
		case <-ctx.Done():
			q.give(turn)
			return ctx.Err()
		}
	}
}

// line takes a run, or a place among those who wait; nil and no error: a run.
func (q *queue) line() (turn chan struct{}, err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	switch {
	case q.free > 0:
		q.free--
		return nil, nil
	case len(q.waiting) >= q.most:
		return nil, errFull
	}
	turn = make(chan struct{}, 1)
	q.waiting = append(q.waiting, turn)
	return turn, nil
}

func (q *queue) place(turn chan struct{}) int {
	q.mu.Lock()
	defer q.mu.Unlock()
	for i, x := range q.waiting {
		if x == turn {
			return i + 1
		}
	}
	return 0
}

// give gives a place up, or the run that it had just become.
func (q *queue) give(turn chan struct{}) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for i, x := range q.waiting {
		if x == turn {
			q.waiting = append(q.waiting[:i], q.waiting[i+1:]...)
			q.tell()
			return
		}
	}
	q.next()
}

// leave ends a run.
func (q *queue) leave() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.next()
}

// next lets the first of those who wait begin.
func (q *queue) next() {
	if len(q.waiting) == 0 {
		q.free++
		return
	}
	close(q.waiting[0])
	q.waiting = append([]chan struct{}(nil), q.waiting[1:]...)
	q.tell()
}

// tell wakes those who wait, to look at their place.
func (q *queue) tell() {
	for _, turn := range q.waiting {
		select {
		case turn <- struct{}{}:
		default: // it has not looked since the last time
		}
	}
}
