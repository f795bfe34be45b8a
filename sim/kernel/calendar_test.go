package kernel

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCalendarIsTheHeap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := rapid.IntRange(1, MaxSlots).Draw(t, "slots")
		fast, plain := NewCalendar(slots), plainCalendar{}
		slot := rapid.IntRange(0, slots-1)
		// Short steps make ties; long ones reach the last time.
		step := rapid.OneOf(rapid.Int64Range(0, 3), rapid.Int64Range(0, 1<<40), rapid.Just(LastTime), rapid.Just(Never))
		t.Repeat(map[string]func(*rapid.T){
			"schedule": func(t *rapid.T) {
				s, at := slot.Draw(t, "slot"), step.Draw(t, "step")
				if at != Never {
					at = min(plain.now+at, LastTime)
				}
				fast.Schedule(s, at)
				plain.Schedule(s, at)
			},
			"cancel": func(t *rapid.T) {
				s := slot.Draw(t, "slot")
				fast.Cancel(s)
				plain.Cancel(s)
			},
			"next": func(t *rapid.T) {
				wantSlot, wantTime := plain.Next()
				gotSlot, gotTime := fast.Next()
				require.Equal(t, entry{wantTime, wantSlot}, entry{gotTime, gotSlot})
			},
			"": func(t *rapid.T) {
				wantSlot, wantTime := plain.Peek()
				gotSlot, gotTime := fast.Peek()
				require.Equal(t, entry{wantTime, wantSlot}, entry{gotTime, gotSlot})
				require.Equal(t, plain.now, fast.Now())
				for s := range slots {
					require.Equal(t, plain.At(s), fast.At(s))
				}
			},
		})
	})
}

func TestCalendarBreaksTiesBySlot(t *testing.T) {
	c := NewCalendar(MaxSlots)
	for slot := MaxSlots - 1; slot >= 0; slot-- {
		c.Schedule(slot, 7)
	}
	for want := range MaxSlots {
		slot, at := c.Next()
		require.Equal(t, entry{7, want}, entry{at, slot})
	}
	slot, at := c.Next()
	require.Equal(t, entry{Never, -1}, entry{at, slot}, "empty")
	require.Equal(t, int64(7), c.Now(), "an empty calendar does not move time")
	c.Reset()
	require.Equal(t, NewCalendar(MaxSlots), c)
}

func TestCalendarRefusesWhatCannotBe(t *testing.T) {
	c := NewCalendar(3)
	c.Schedule(1, 10)
	c.Next()
	c.Schedule(0, 10) // now itself is allowed
	for _, row := range []struct {
		say string
		do  func()
	}{
		{"kernel: an event is scheduled before now", func() { c.Schedule(0, 9) }},
		{"kernel: an event is scheduled before now", func() { c.Schedule(0, -1) }},
		{"kernel: an event is scheduled after the last time", func() { c.Schedule(0, LastTime+1) }},
		{"kernel: an event is scheduled after the last time", func() { c.Schedule(0, Never-1) }},
		{"kernel: the calendar has no such slot", func() { c.Schedule(3, 11) }},
		{"kernel: the calendar has no such slot", func() { c.Schedule(-1, Never) }},
		{"kernel: the calendar has no such slot", func() { c.Cancel(3) }},
		{"kernel: the calendar has no such slot", func() { c.At(-1) }},
		{"kernel: a calendar has 1 to 32 slots", func() { NewCalendar(0) }},
		{"kernel: a calendar has 1 to 32 slots", func() { NewCalendar(33) }},
	} {
		require.PanicsWithValue(t, row.say, row.do)
	}
	slot, at := c.Peek()
	require.Equal(t, entry{10, 0}, entry{at, slot}, "a refused call changes nothing")
}
