package sim

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
)

// Merging is addition of every number there is, in any grouping, and JSON keeps all of it.
func TestTallyMergesAndSerialises(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	var all, odd, even Tally
	for i := range 40 {
		o := b.Run(kernel.NewKey(13, uint64(i)))
		all.Add(&o)
		if i%2 == 1 {
			odd.Add(&o)
		} else {
			even.Add(&o)
		}
	}
	merged := odd
	merged.Merge(&even)
	require.Equal(t, all, merged)

	data, err := json.Marshal(all)
	require.NoError(t, err)
	var back Tally
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, all, back)

	// Every field doubles, so that none was forgotten.
	twice := all
	twice.Merge(&all)
	require.Equal(t, doubled(reflect.ValueOf(all)).Interface(), twice)
}

func doubled(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Int64:
		out.SetInt(2 * v.Int())
	case reflect.Struct:
		for i := range v.NumField() {
			out.Field(i).Set(doubled(v.Field(i)))
		}
	case reflect.Array:
		for i := range v.Len() {
			out.Index(i).Set(doubled(v.Index(i)))
		}
	}
	return out
}
