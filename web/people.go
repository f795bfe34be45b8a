package web

import (
	"whatbout/fighter"
	"whatbout/report"
	"whatbout/tactics"
)

// Shipped is what comes with the program: calibrated fighters who met, plans for them, and questions to begin with.
type Shipped struct {
	Fighters  []*fighter.Profile // the first against the second unless an address says otherwise
	Joint     *fighter.Joint     // of all of them; may be nil
	Inputs    []report.Input     // what they were read from
	Plans     []*tactics.Plan    // the first is followed unless an address says otherwise
	Note      string             // what to know about them
	Questions []Question
}

// Question is a guided question: a link to a state, and what to look at.
type Question struct {
	Ask  string `json:"ask"`
	Look string `json:"look"`
	At   string `json:"at"` // query of an address
}

// thing is a choice that was read: a profile or a plan with where it came from.
type thing[T any] struct {
	Key    string
	Value  T
	Inputs []report.Input
	From   origin
}

// origin says where a choice comes from.
type origin uint8

const (
	fromProgram origin = iota
	fromFolder
	fromUpload
)

// Choice is a line of a list on the page.
type Choice struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	From string `json:"from"` // heading of its group
	Note string `json:"note,omitempty"`
}

// person finds a profile: one shipped, one uploaded, or a file of the folder.
func (s *Server) person(key string) (*thing[*fighter.Profile], error) {
	for _, p := range s.Shipped.Fighters {
		if p.ID == key {
			return &thing[*fighter.Profile]{key, p, s.Shipped.Inputs, fromProgram}, nil
		}
	}
	if up := s.uploads.get(key); up != nil && up.profile != nil {
		return &thing[*fighter.Profile]{key, up.profile, []report.Input{up.input}, fromUpload}, nil
	}
	p, in, err := readFile(s, key, &s.folder.profiles)
	return &thing[*fighter.Profile]{key, p, []report.Input{in}, fromFolder}, err
}

// plan finds a whole plan in the same places.
func (s *Server) plan(key string) (*thing[*tactics.Plan], error) {
	for _, p := range s.Shipped.Plans {
		if planKey(p) == key {
			return &thing[*tactics.Plan]{key, p, nil, fromProgram}, nil
		}
	}
	if up := s.uploads.get(key); up != nil && up.plan != nil {
		return &thing[*tactics.Plan]{key, up.plan, []report.Input{up.input}, fromUpload}, nil
	}
	p, in, err := readFile(s, key, &s.folder.plans)
	return &thing[*tactics.Plan]{key, p, []report.Input{in}, fromFolder}, err
}
