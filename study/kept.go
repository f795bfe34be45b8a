package study

import (
	"context"
	"encoding/binary"
	"math"

	"whatbout/sim"
)

// Store keeps the values of cells beyond a run. Both methods may be called by many at once. Get reports false for what it does not hold, or
// holds damaged.
type Store interface {
	Get(Key) ([]byte, bool)
	Put(Key, []byte) error
}

// values gives a cell's values from the store, or plays them and puts them there; fresh tells which.
func (w *player) values(ctx context.Context, c *Cell, store Store, key Key) (v Values, fresh bool, err error) {
	if store != nil {
		if data, ok := store.Get(key); ok {
			if v := valuesOf(data, c.Bouts); v != nil {
				return v, false, nil
			}
		}
	}
	v = make(Values, 0, c.Bouts*len(columns))
	if err := w.play(ctx, c, func(_ int, o *sim.Outcome) {
		for m := range columns {
			v = append(v, columns[m].of(o, 0))
		}
	}); err != nil {
		return nil, false, err
	}
	if store != nil {
		err = store.Put(key, v.bytes())
	}
	return v, true, err
}

// valuesOf reads values back; nil if they are not those of so many bouts.
func valuesOf(data []byte, bouts int) Values {
	if len(data) != 8*bouts*len(columns) {
		return nil
	}
	out := make(Values, bouts*len(columns))
	for i := range out {
		out[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return out
}

func (v Values) bytes() []byte {
	out := make([]byte, 8*len(v))
	for i, x := range v {
		binary.LittleEndian.PutUint64(out[8*i:], math.Float64bits(x))
	}
	return out
}
