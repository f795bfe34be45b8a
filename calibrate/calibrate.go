// Package calibrate turns coded tape into profiles: rates by own range per free second, choice tables, readiness to bite, and skills
// that tell "lands a lot" from "met people who get hit". It starts from the population and moves each figure as far as the tape
// carries it. What was not looked for, not coded or not in sight is unknown and moves nothing.
//
// The steps: source (which codings count, and how much), light (which time was seen), view (where a fighter was, and when free),
// count and attempt (what the tape shows), rate, table, bite and skill (what follows for a profile). Reading tape and the rule of choice
// points are left to tape, playing bouts to sim, intervals and over-dispersion to infer.
package calibrate

import (
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// Options says which tape counts and whose profiles are wanted.
type Options struct {
	All bool     // also bouts that are not "as usual": those marked so, and sparring
	For []string // fighters' ids; nil: everybody on the tape whose body is known
}

// Result is what coded tape says.
type Result struct {
	Profiles map[string]*fighter.Profile // by id
	Evidence map[string]*Evidence        // by id, of everybody on the tape that counted, opponents too
	Skills   []Fit                       // one for each family of acts that the tape shows
	Notes    []string                    // what was left out, not looked for or mapped, a line each, bout by bout
}

// Evidence is how much tape stands behind one fighter. A bout that was coded several times counts once.
type Evidence struct {
	Minutes    float64                            // coded and in sight
	Rounds     int                                // of which some time was coded
	Dispersion [fighter.NumZones]infer.Dispersion // of initiated acts between rounds, by own zone, pooled over moves
	Answers    infer.Dispersion                   // of choices at the answer point between rounds, pooled over ranges and moves
	Continues  infer.Dispersion                   // the same at the continue point
}

// Calibrate makes profiles from all codings (see [Read]). Several codings of one bout weigh one over their number each, in counts and in
// exposure, so that coding a bout twice does not double the evidence. Fighters without a body count as opponents, so that skill is
// told from who was met. It returns an error when two bouts give one fighter different bodies, and for a wanted fighter without tape
// or without a body.
func Calibrate(codings []*tape.Coding, o Options) (*Result, error) {
	known, err := bodies(codings, func(b *tape.Bout) string { return b.ID })
	if err != nil {
		return nil, err
	}
	r := &Result{Profiles: map[string]*fighter.Profile{}, Evidence: map[string]*Evidence{}}
	taken, leftOut := usualOnly(codings, o.All)
	sources := sourcesOf(taken, known)
	r.Notes = append(leftOut, notes(sources)...)
	for _, c := range taken {
		r.Notes = append(r.Notes, c.Warnings...)
	}
	tallies := tally(sources)
	wanted, err := o.wanted(known, tallies)
	if err != nil {
		return nil, err
	}
	for id, t := range tallies {
		r.Evidence[id] = t.evidence()
	}
	for _, id := range wanted {
		p := fighter.Population(id, known[id])
		p.Invented, p.JointFile = tallies[id].invented, JointFile
		setRates(p, tallies[id])
		setTables(p, tallies[id])
		setBites(p, tallies[id])
		r.Profiles[id] = p
	}
	r.Skills = setSkills(r.Profiles, attempts(sources))
	return r, nil
}

// Profiles gives the profiles of those fighters from the bouts "as usual"; without ids, of everybody whose body is known.
func Profiles(codings []*tape.Coding, ids ...string) (map[string]*fighter.Profile, error) {
	r, err := Calibrate(codings, Options{For: ids})
	if err != nil {
		return nil, err
	}
	return r.Profiles, nil
}

func (o Options) wanted(known map[string]fighter.Body, tallies map[string]*counts) ([]string, error) {
	var ids []string
	for _, id := range o.For {
		_, hasBody := known[id]
		switch {
		case tallies[id] == nil:
			return nil, fmt.Errorf("no tape of %q; a profile without tape is the population's", id)
		case !hasBody:
			return nil, fmt.Errorf("no bout.yaml gives the body of %q, and reach and range follow from it; add it to one", id)
		}
		ids = append(ids, id)
	}
	if len(o.For) > 0 {
		return ids, nil
	}
	for _, id := range slices.Sorted(maps.Keys(known)) {
		if tallies[id] != nil {
			ids = append(ids, id)
		}
	}
	return ids, nil
}
