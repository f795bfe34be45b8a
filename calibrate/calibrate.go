// Package calibrate turns coded tape into profiles: rates by own range per free second, choice tables, readiness to bite, and skills
// that tell "lands a lot" from "met people who get hit". It starts from the population and moves each figure as far as the tape
// carries it. What was not looked for, not coded or not in sight is unknown and moves nothing.
//
// The steps: source (which codings count, and how much), light (which time was seen), view (where a fighter was, and when free),
// count, attempt and state (what the tape shows, and how things stood), rate, table, habitafter, bite and skill (what follows for a profile); asked for,
// step and residual (what the same bouts, fought again, say). Reading tape and the rule of choice
// points are left to tape, playing bouts to sim, intervals and over-dispersion to infer.
package calibrate

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/internal/input"
	"whatbout/tape"
)

// Options says which tape counts and whose profiles are wanted.
type Options struct {
	All bool     // also bouts that are not "as usual": those marked so, and sparring
	For []string // fighters' ids; nil: everybody on the tape whose body is known
	// Coarse are codings at the level of exchanges. Of a bout with a coding of every act they are left out.
	Coarse []*tape.Coarse
	// Coder is what one coder alone is taken to do wrong, and where estimates from two codings of a bout start from; the zero value errs
	// nowhere.
	Coder CoderDoubt

	Steps   bool // fit step lengths by simulated moments; some seconds a fighter
	Check   bool // replay the tape with the finished profiles, for Residuals
	Workers int  // for these and Close; 0: one a core; never changes the result

	Close      Closing // shift what the replayed tape leaves open of rates or shares; the zero value shifts nothing
	CloseWhole bool    // by all that is open; else by what is more than its own error

	// Population is what is believed before any tape; nil: the embedded one.
	Population *fighter.PopulationFile
	Age        Ageing // how old tape weighs
}

func (o Options) population() *fighter.PopulationFile {
	if o.Population == nil {
		return fighter.Shipped()
	}
	return o.Population
}

// Result is what coded tape says.
type Result struct {
	Profiles map[string]*fighter.Profile // by id
	Evidence map[string]*Evidence        // by id, of everybody on the tape that counted, opponents too
	Skills   []Fit                       // one for each family of acts that the tape shows
	Notes    []string                    // what was left out, not looked for or mapped, a line each, bout by bout

	Steps     []StepFit  // by fighter, everybody whose body is known; nil unless asked for
	Residuals []Residual // by fighter, then of everybody; before closing; nil unless asked for
	Closed    []Closure  // the same with what was left after closing; nil unless asked for
	// Places are rates that hang on the fence, the centre or the stances beside the range, by fighter, as counted; with
	// Residuals.
	Places []PlaceRate
}

// Evidence is how much tape stands behind one fighter. A bout that was coded several times counts once.
type Evidence struct {
	Minutes    float64                            // coded and in sight
	Weighed    float64                            // the same, minutes of old bouts counting less (see [Ageing])
	Rounds     int                                // of which some time was coded
	Dispersion [fighter.NumZones]infer.Dispersion // of initiated acts between rounds, by own zone, pooled over moves
	Answers    infer.Dispersion                   // of choices at the answer point between rounds, pooled over ranges and moves
	Continues  infer.Dispersion                   // the same at the continue point
	Coarse     CoarseEvidence                     // beside the above, of bouts coded by exchanges alone
}

// Calibrate makes profiles from all codings (see [Read]). Several codings of one bout weigh one over their number each, in counts and in
// exposure, so that coding a bout twice does not double the evidence. Fighters without a body count as opponents, so that skill is
// told from who was met. It returns an error when two bouts give one fighter different bodies, for a wanted fighter without tape
// or without a body, and for fewer than 0 workers.
func Calibrate(codings []*tape.Coding, o Options) (*Result, error) {
	if o.Workers < 0 {
		return nil, fmt.Errorf("%d workers; expected 0 (one a core) or more", o.Workers)
	}
	in, err := o.sources(codings)
	if err != nil {
		return nil, err
	}
	r := &Result{Profiles: map[string]*fighter.Profile{}, Evidence: map[string]*Evidence{}}
	g := o.gather(in, nil)
	r.Notes = slices.Concat(o.popular(), in.notes, g.coarse.notes, doubtNotes(g.doubts, o.Coder))
	wanted, err := o.wanted(in.known, g.tallies)
	if err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, onlyWins(in.full, wanted)...)
	r.Notes = append(noTape(wanted, g.tallies, g.coarse), r.Notes...)
	for id, t := range g.tallies {
		r.Evidence[id] = t.evidence()
	}
	made := wanted
	if o.Steps || o.Check || o.Close != CloseNone { // opponents, too, are to fight as the tape has them
		made = everybody(in.known, g.tallies)
	}
	for _, id := range made {
		p := g.byActs(id)
		p.Invented, p.JointFile, p.MadeFrom = g.tallies[id].invented, JointFile, o.madeFrom(id, in)
		r.Evidence[id].Coarse = g.coarse.set(p)
		r.Profiles[id] = p
	}
	r.Skills = setSkills(r.Profiles, doubted(in.full, g.doubts, g.usual), o.population(), g.usual)
	r.Skills = g.coarse.setSkills(r.Profiles, r.Skills)
	if err := r.replay(in.full, o); err != nil {
		return nil, err
	}
	maps.DeleteFunc(r.Profiles, func(id string, _ *fighter.Profile) bool { return !slices.Contains(wanted, id) })
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
		case tallies[id] == nil && !hasBody:
			return nil, fmt.Errorf("no tape of %q; %s; without tape, whatbout sketch makes a profile", id, cmp.Or(input.DidYouMean(id, sortedKeys(tallies)), "nobody is on it"))
		case tallies[id] == nil: // a body is given in a bout that does not count
			tallies[id] = newCounts(nil)
		case !hasBody:
			return nil, fmt.Errorf("no bout.yaml gives the body of %q, and reach and range follow from it; add it to one", id)
		}
		ids = append(ids, id)
	}
	if len(o.For) > 0 {
		return ids, nil
	}
	return everybody(known, tallies), nil
}

// everybody lists who is on the tape and whose body is known.
func everybody(known map[string]fighter.Body, tallies map[string]*counts) (ids []string) {
	for _, id := range slices.Sorted(maps.Keys(known)) {
		if tallies[id] != nil {
			ids = append(ids, id)
		}
	}
	return ids
}
