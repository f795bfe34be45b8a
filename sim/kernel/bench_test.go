package kernel

import "testing"

// Costs of the pieces, beside each other in one run: go test -bench . ./sim/kernel

var sinkInt int64
var sinkKey Key

func BenchmarkPieces(b *testing.B) {
	key := NewKey(1, 2, 3)
	s := key.Stream()
	var table Table
	if err := table.Set([]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16}); err != nil {
		b.Fatal(err)
	}
	mean := MeanGap(3)
	calendar := NewCalendar(8)
	for slot := range 8 {
		calendar.Schedule(slot, int64(slot))
	}
	ticks := NewTicks(key, mean)
	for _, piece := range []struct {
		name string
		do   func(i int)
	}{
		{"nothing", func(i int) {}},
		{"Uint64", func(i int) { sinkInt += int64(s.Uint64()) }},
		{"With", func(i int) { sinkKey = key.With(uint64(i)) }},
		{"With, Stream and a draw", func(i int) { t := key.With(uint64(i)).Stream(); sinkInt += int64(t.Uint64()) }},
		{"Exponential with its draw", func(i int) { sinkInt += Exponential(s.Uint64(), mean) }},
		{"Normal with its draw", func(i int) { sinkInt += int64(Normal(s.Uint32())) }},
		{"Pick 1 of 16 with its draw", func(i int) { sinkInt += int64(table.Pick(s.Uint32())) }},
		{"Next and Schedule, 8 slots", func(i int) { slot, t := calendar.Next(); calendar.Schedule(slot, t+1+int64(s.Uint64()>>44)) }},
		{"Ticks.Next", func(i int) { at, draw := ticks.Next(); sinkInt += at + int64(draw) }},
	} {
		b.Run(piece.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := range b.N {
				piece.do(i)
			}
		})
	}
}
