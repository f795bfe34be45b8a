package calibrate

import (
	"fmt"

	"whatbout/fighter"
	"whatbout/tape"
)

// madeFrom says from which tape a fighter's profile is made. Bouts that were read from no files have nothing to be known by.
func (o Options) madeFrom(id string, sources []*source, coarse *coarseTape) fighter.MadeFrom {
	out := fighter.MadeFrom{All: o.All, HalfLife: o.Age.HalfLife, AsOf: o.Age.from(sources), Bouts: map[string]string{}}
	add := func(b *tape.Bout) {
		if b.Files.SHA256 != "" && (b.Fighters[0].ID == id || b.Fighters[1].ID == id) {
			out.Bouts[b.ID] = b.Files.SHA256
		}
	}
	for _, s := range sources {
		add(s.bout)
	}
	for _, b := range coarse.bouts {
		add(b)
	}
	if len(out.Bouts) == 0 {
		out.Bouts = nil
	}
	return out
}

// popular says against which population the tape is read, if it is not the program's own.
func (o Options) popular() []string {
	id := o.population().ID
	if id.SHA256 == fighter.Shipped().ID.SHA256 {
		return nil
	}
	out := []string{fmt.Sprintf("what tape does not tell is taken from the population %s", id)}
	if len(o.Coarse) > 0 {
		out = append(out, "bouts coded by exchanges are read against the bouts of the program's own population, whichever is given")
	}
	return out
}
