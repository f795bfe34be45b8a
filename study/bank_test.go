package study

import (
	"context"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tactics"
)

// memory is a store in memory that counts.
type memory struct {
	mu        sync.Mutex
	held      map[Key][]byte
	got, puts int
}

func (m *memory) Get(k Key) ([]byte, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	v, ok := m.held[k]
	if ok {
		m.got++
	}
	return v, ok
}

func (m *memory) Put(k Key, v []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.puts++
	m.held[k] = v
	return nil
}

func bankOf(t *testing.T, plans ...*tactics.Plan) *Bank {
	t.Helper()
	b, err := NewBank(*comparison(t, asUsual, stayClose).meeting(), plans...)
	require.NoError(t, err)
	return b
}

// Exact: a comparison is sums over the cells of a bank.
func TestBankPlaysWhatAComparisonPlays(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	r := run(t, q)
	b := bankOf(t, asUsual, stayClose)
	var cells []Cell
	for k := range r.Draws {
		cells = append(cells, Cell{Plan: asUsual, Draw: k, Bouts: q.Bouts}, Cell{Plan: stayClose, Draw: k, Bouts: q.Bouts})
	}
	require.NoError(t, b.Play(context.Background(), cells))
	sum := 0.0
	for k := range r.Draws {
		sum += b.Pairs(cells[2*k+1], cells[2*k], winMeasure).Difference().Mean()
	}
	require.InDelta(t, r.Find("close", "win").Mean, sum/float64(r.Draws), 1e-12)
	require.Equal(t, 2*r.Draws*q.Bouts, b.Played)
}

// Exact: names move nothing, content does, and no bout is played twice.
func TestBankNeverPlaysTwice(t *testing.T) {
	renamed := *stayClose
	renamed.Name, renamed.Intent = "another name", "and intent"
	weaker := *stayClose
	weaker.Adherence.Share = .3
	empty := &tactics.Plan{Name: "nothing in it"}
	b := bankOf(t, asUsual, stayClose, &renamed, &weaker, empty)
	all := []Cell{{Plan: stayClose, Bouts: 3}, {Plan: &renamed, Bouts: 3}, {Plan: asUsual, Bouts: 3}, {Plan: empty, Bouts: 3}, {Bouts: 3}, {Reply: empty, Bouts: 3}}
	require.NoError(t, b.Play(context.Background(), all))
	require.Equal(t, 6, b.Played)
	require.Equal(t, b.Values(all[0]), b.Values(all[1]))
	require.Equal(t, b.Values(all[2]), b.Values(all[5]))
	jab, err := DialNamed("rate.jab")
	require.NoError(t, err)
	for i, c := range []Cell{
		{Plan: &weaker, Bouts: 3}, {Plan: stayClose, Bouts: 4}, {Plan: stayClose, Bouts: 3, Draw: 1}, {Plan: stayClose, Bouts: 3, Tape: true},
		{Plan: stayClose, Bouts: 3, InFull: true}, {Reply: stayClose, Bouts: 3}, {Bouts: 3, Set: []Setting{{jab, 0, 3}}}, {Bouts: 3, Set: []Setting{{jab, 1, 3}}},
		{Bouts: 3, Set: []Setting{{jab, 0, 4}}},
	} {
		require.False(t, b.Holds(c), i)
		before := b.Played
		require.NoError(t, b.Play(context.Background(), []Cell{c, c}))
		require.Equal(t, before+c.Bouts, b.Played, i)
		require.NoError(t, b.Play(context.Background(), []Cell{c}))
		require.Equal(t, before+c.Bouts, b.Played, i)
	}
}

// Exact: what a store gives back is what was played, and an interrupted study goes on from it.
func TestBankGoesOnFromItsStore(t *testing.T) {
	kept := &memory{held: map[Key][]byte{}}
	cells := make([]Cell, 12)
	for k := range cells {
		cells[k] = Cell{Plan: stayClose, Draw: k, Bouts: 3}
	}
	ctx, cancel := context.WithCancel(context.Background())
	first := bankOf(t, stayClose)
	first.Store, first.Workers = kept, 1
	first.Progress = func(done, of int) {
		if done == 5 {
			cancel()
		}
	}
	require.ErrorIs(t, first.Play(ctx, cells), context.Canceled)
	require.Equal(t, 5, kept.puts)

	second := bankOf(t, stayClose)
	second.Store = kept
	require.NoError(t, second.Play(context.Background(), cells))
	require.Equal(t, 7*3, second.Played)
	require.Equal(t, 5, kept.got)
	plain := bankOf(t, stayClose)
	require.NoError(t, plain.Play(context.Background(), cells))
	for _, c := range cells {
		require.Equal(t, plain.Values(c), second.Values(c))
	}
}

// A comparison with a store plays nothing again and says the same.
func TestComparisonFromItsStore(t *testing.T) {
	kept := &memory{held: map[Key][]byte{}}
	q := comparison(t, asUsual, stayClose)
	q.Store = kept
	want := text(t, run(t, q))
	played := kept.puts
	again := comparison(t, asUsual, stayClose)
	again.Store = kept
	require.Equal(t, want, text(t, run(t, again)))
	require.Equal(t, played, kept.puts)
	require.Equal(t, played, kept.got)
}
