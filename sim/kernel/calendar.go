package kernel

import "math"

// MaxSlots is the largest number of slots of a [Calendar].
const MaxSlots = 32

// Never is the time of an event that does not come.
const Never int64 = math.MaxInt64

// LastTime is the latest time that can be scheduled: 2^58-2 microseconds, over 9000 years.
const LastTime int64 = 1<<(63-slotBits) - 2

const slotBits = 5

// Calendar holds at most one coming event a slot and the time now, in microseconds. Events come by time, and at the same time by
// slot. It is a value: an assignment copies it. The zero Calendar has no slots; make one by [NewCalendar].
type Calendar struct {
	now   int64
	slots int
	// An entry is the time and, in its lowest bits, the slot, so that the smallest entry is the next event; Never if there is none.
	// The minimum is taken over blocks of four, as far as slots reach.
	entries [MaxSlots]int64
}

// NewCalendar returns an empty calendar at time 0. It panics unless slots lies from 1 to [MaxSlots].
func NewCalendar(slots int) Calendar {
	if slots < 1 || slots > MaxSlots {
		panic("kernel: a calendar has 1 to 32 slots")
	}
	c := Calendar{slots: slots}
	c.Reset()
	return c
}

// Reset empties the calendar and sets its time to 0.
func (c *Calendar) Reset() {
	c.now = 0
	for i := range c.entries {
		c.entries[i] = Never
	}
}

// Now returns the time of the last event taken by [Calendar.Next], 0 before the first.
func (c *Calendar) Now() int64 { return c.now }

// Schedule sets the event of a slot to time t, from now to [LastTime], in place of the one it may have; t = [Never] cancels it. It
// panics on a slot or time out of range: time never runs backwards.
func (c *Calendar) Schedule(slot int, t int64) {
	if uint(slot) >= uint(c.slots) || t < c.now || t > LastTime {
		c.refuse(slot, t)
		return
	}
	c.entries[slot&(MaxSlots-1)] = t<<slotBits | int64(slot)
}

// refuse tells what was wrong with a call of Schedule, and does its rare case.
func (c *Calendar) refuse(slot int, t int64) {
	switch {
	case uint(slot) >= uint(c.slots):
		panic("kernel: the calendar has no such slot")
	case t == Never:
		c.entries[slot] = Never
	case t < c.now:
		panic("kernel: an event is scheduled before now")
	default:
		panic("kernel: an event is scheduled after the last time")
	}
}

// Cancel removes the event of a slot, if there is one. It panics on a slot out of range.
func (c *Calendar) Cancel(slot int) {
	if uint(slot) >= uint(c.slots) {
		panic("kernel: the calendar has no such slot")
	}
	c.entries[slot] = Never
}

// At returns the time of the event of a slot, [Never] if there is none. It panics on a slot out of range.
func (c *Calendar) At(slot int) int64 {
	if uint(slot) >= uint(c.slots) {
		panic("kernel: the calendar has no such slot")
	}
	if c.entries[slot] == Never {
		return Never
	}
	return c.entries[slot] >> slotBits
}

// Peek returns the next event without taking it: its slot and time, or -1 and [Never] if the calendar is empty.
func (c *Calendar) Peek() (slot int, t int64) {
	next := c.earliest()
	if next == Never {
		return -1, Never
	}
	return int(next & (MaxSlots - 1)), next >> slotBits
}

// Next takes the next event: it empties the slot, moves now to the event's time and returns both. On an empty calendar it returns -1
// and [Never], and now stays.
func (c *Calendar) Next() (slot int, t int64) {
	next := c.earliest()
	if next == Never {
		return -1, Never
	}
	slot, t = int(next&(MaxSlots-1)), next>>slotBits
	c.entries[slot] = Never
	c.now = t
	return slot, t
}

func (c *Calendar) earliest() int64 {
	least := Never
	for i := 0; i < c.slots; i += 4 {
		b := (*[4]int64)(c.entries[i&(MaxSlots-4):])
		least = min(least, min(min(b[0], b[1]), min(b[2], b[3])))
	}
	return least
}
