package sim

// Mover is a [Watcher] that is also told after every change of place, when the new places stand. A change of round is one.
type Mover interface {
	Moved(b *Bout)
}

// Place is where somebody stands: whole millimetres from the middle of the fighting area.
type Place struct{ X, Y int32 }

// Where gives both places, with the round (from 1) and the clock (µs since its bell) since when nobody has moved if a [Mover] asks.
func (b *Bout) Where() (at [2]Place, round int, clock int64) {
	for c := range b.men {
		at[c] = Place{b.men[c].at.x, b.men[c].at.y}
	}
	return at, b.round, b.now
}

// HurtUntil gives until when a fighter counts as hurt, µs since the bell of the round under way; a clock that has passed means not hurt.
func (b *Bout) HurtUntil(c int) int64 { return b.men[c].hurt }

// tellMoved tells a watcher who asks for it that somebody has moved.
func (b *Bout) tellMoved() {
	if b.Watch == nil {
		return
	}
	if w, asks := b.Watch.(Mover); asks {
		w.Moved(b)
	}
}
