package kernel

import (
	"container/heap"
	"slices"
)

// entry and plainCalendar are the calendar as a textbook has it: container/heap over entries by time, then slot.
type entry struct {
	t    int64
	slot int
}

type entries []entry

func (e entries) Len() int { return len(e) }
func (e entries) Less(i, j int) bool {
	return e[i].t < e[j].t || e[i].t == e[j].t && e[i].slot < e[j].slot
}
func (e entries) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *entries) Push(x any)   { *e = append(*e, x.(entry)) }
func (e *entries) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}

type plainCalendar struct {
	now     int64
	entries entries
}

func (c *plainCalendar) Cancel(slot int) {
	if i := slices.IndexFunc(c.entries, func(e entry) bool { return e.slot == slot }); i >= 0 {
		heap.Remove(&c.entries, i)
	}
}

func (c *plainCalendar) Schedule(slot int, t int64) {
	c.Cancel(slot)
	if t != Never {
		heap.Push(&c.entries, entry{t, slot})
	}
}

func (c *plainCalendar) At(slot int) int64 {
	if i := slices.IndexFunc(c.entries, func(e entry) bool { return e.slot == slot }); i >= 0 {
		return c.entries[i].t
	}
	return Never
}

func (c *plainCalendar) Peek() (int, int64) {
	if len(c.entries) == 0 {
		return -1, Never
	}
	return c.entries[0].slot, c.entries[0].t
}

func (c *plainCalendar) Next() (int, int64) {
	if len(c.entries) == 0 {
		return -1, Never
	}
	e := heap.Pop(&c.entries).(entry)
	c.now = e.t
	return e.slot, e.t
}
