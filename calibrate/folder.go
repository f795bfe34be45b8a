package calibrate

import (
	"errors"
	"fmt"
	"path/filepath"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tape"
)

// Read reads folders of coded tape, all of them before anything is made of one, so that the error lists all faults of all folders. Two
// folders with one bout (by id) are a fault, because its evidence would count twice, and so are two that give different bodies for one
// fighter; both name both files. A bout that is coded by exchanges alone is a fault; see [ReadAll].
func Read(dirs ...string) ([]*tape.Coding, error) {
	full, _, err := readAll(dirs, func(dir string) (*tape.Bout, *tape.Codings, error) {
		bout, codings, err := tape.ReadBoutDir(dir)
		return bout, &tape.Codings{Full: codings}, err
	})
	return full, err
}

// ReadAll is Read with the codings at the level of exchanges, for [Options].
func ReadAll(dirs ...string) ([]*tape.Coding, []*tape.Coarse, error) {
	return readAll(dirs, tape.ReadBoutDirAll)
}

func readAll(dirs []string, read func(dir string) (*tape.Bout, *tape.Codings, error)) (full []*tape.Coding, coarse []*tape.Coarse, _ error) {
	var bouts []*tape.Bout
	var faults []error
	file := map[*tape.Bout]string{}
	first := map[string]string{} // file by id of bout
	for _, dir := range dirs {
		bout, codings, err := read(dir)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		if err := checkCodings(dir, codings); err != nil {
			faults = append(faults, err)
		}
		file[bout] = filepath.Join(dir, "bout.yaml")
		if before, ok := first[bout.ID]; ok {
			faults = append(faults, input.Fault{File: file[bout], What: fmt.Sprintf("bout %q stands in %s too", bout.ID, before),
				Want: "one folder a bout, with all its codings"})
			continue
		}
		first[bout.ID] = file[bout]
		bouts = append(bouts, bout)
		full, coarse = append(full, codings.Full...), append(coarse, codings.Coarse...)
	}
	_, err := bodies(bouts, func(b *tape.Bout) string { return file[b] })
	if err := errors.Join(append(faults, err)...); err != nil {
		return nil, nil, err
	}
	return full, coarse, nil
}

// bodies gives everybody's build; name names a bout in faults.
func bodies(bouts []*tape.Bout, name func(*tape.Bout) string) (map[string]fighter.Body, error) {
	out := map[string]fighter.Body{}
	from := map[string]*tape.Bout{}
	done := map[*tape.Bout]bool{}
	var faults []error
	for _, b := range bouts {
		if done[b] {
			continue
		}
		done[b] = true
		for _, f := range b.Fighters {
			body, ok := bodyOf(f)
			if !ok {
				continue
			}
			if before := from[f.ID]; before != nil && out[f.ID] != body {
				faults = append(faults, input.Fault{File: name(b), What: fmt.Sprintf("the body of %q differs from that in %s", f.ID, name(before)),
					Want: "one body a fighter"})
				continue
			}
			out[f.ID], from[f.ID] = body, b
		}
	}
	return out, errors.Join(faults...)
}

func bodyOf(f tape.Fighter) (fighter.Body, bool) {
	if f.Body == nil {
		return fighter.Body{}, false
	}
	p := f.Body
	return fighter.Body{Stature: p.Stature, Span: p.Span, Leg: p.Leg, Weight: p.Weight, Southpaw: p.Stance == tape.Southpaw}, true
}
