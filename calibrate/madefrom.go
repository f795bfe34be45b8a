package calibrate

import (
	"fmt"

	"whatbout/fighter"
)

// madeFrom says from which tape a fighter's profile is made. Bouts that were read from no files have nothing to be known by.
func (o Options) madeFrom(id string, in *counted) fighter.MadeFrom {
	out := fighter.MadeFrom{All: o.All, HalfLife: o.Age.HalfLife, AsOf: o.Age.from(in.all()), Bouts: map[string]string{}}
	for _, s := range in.all() {
		b := s.bout
		if b.Fighters[0].ID != id && b.Fighters[1].ID != id {
			continue
		}
		if b.Files.SHA256 != "" {
			out.Bouts[b.ID] = b.Files.SHA256
		}
		if b.Coder != engineCoder { // of whom nothing is assumed
			out.Coder = o.Coder.Text()
		}
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
	return []string{fmt.Sprintf("what tape does not tell is taken from the population %s", id)}
}
