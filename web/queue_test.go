package web

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Exact: runs begin in the order of coming, who waits is told the place, and who comes when the line is full is refused.
func TestTheQueueKeepsItsOrder(t *testing.T) {
	q := newQueue(1, 2)
	require.NoError(t, q.enter(t.Context(), nil))
	places, begun := make(chan [2]int, 20), make(chan int)
	for who := range 2 {
		go func() {
			if q.enter(t.Context(), func(place int) { places <- [2]int{who, place} }) == nil {
				begun <- who
			}
		}()
		require.Equal(t, [2]int{who, who + 1}, <-places)
	}
	require.ErrorIs(t, q.enter(t.Context(), nil), errFull)
	q.leave()
	require.Equal(t, 0, <-begun)
	require.Equal(t, [2]int{1, 1}, <-places)
	q.leave()
	require.Equal(t, 1, <-begun)
	q.leave()
	require.Equal(t, 1, q.free)
}

// Exact: whoever gives up leaves no hole, also in the moment when the turn comes.
func TestGivingUpLeavesNoHole(t *testing.T) {
	q := newQueue(1, 50)
	for range 200 {
		require.NoError(t, q.enter(t.Context(), nil))
		ended := make(chan error)
		for i := range 20 {
			ctx, stop := context.WithTimeout(t.Context(), time.Duration(i*20)*time.Microsecond)
			go func() {
				defer stop()
				err := q.enter(ctx, func(int) {})
				if err == nil {
					q.leave()
				}
				ended <- err
			}()
		}
		q.leave()
		for range 20 {
			<-ended
		}
		q.mu.Lock()
		require.Equal(t, 1, q.free)
		require.Empty(t, q.waiting)
		q.mu.Unlock()
	}
}
