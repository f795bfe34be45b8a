package report

import (
	"fmt"
	"sort"
	"strings"

	"whatbout/fighter"
)

// Evidence says what a fighter's figures rest on, as counts of figures.
type Evidence struct {
	Fighter    string   `json:"fighter"`
	Tape       int      `json:"tape"`
	Population int      `json:"population"`
	Assumption int      `json:"assumption"`
	Skills     []string `json:"skills_without_tape"` // by name
}

func evidenceOf(p *fighter.Profile) Evidence {
	e := Evidence{Fighter: p.ID, Skills: []string{}}
	for f := range p.Figures {
		d := fighter.Define(fighter.Figure(f))
		if p.Figures[f].A == 0 && d.Law != fighter.Skill {
			continue // what cannot be done there
		}
		switch p.Sources[f] {
		case fighter.FromTape:
			e.Tape++
		case fighter.FromAssumption:
			e.Assumption++
		default:
			e.Population++
		}
		if d.Law == fighter.Skill && p.Sources[f] == fighter.FromPopulation {
			e.Skills = append(e.Skills, d.Name)
		}
	}
	sort.Strings(e.Skills)
	return e
}

// evidence says what rests on little tape and on assumption.
func (c *Comparison) evidence(b *strings.Builder) {
	for _, e := range c.Evidence {
		fmt.Fprintf(b, "What %s rests on: %d figures moved by tape, %d from the population, %d assumptions (reaction, retraction, power, chin, tiring:\n"+
			"tape cannot show them).\n", title(e.Fighter), e.Tape, e.Population, e.Assumption)
		if e.Tape == 0 {
			b.WriteString("  No tape at all: a sketch or the population, good for trying a plan and for seeing what tape would buy, not for believing.\n")
		}
		if len(e.Skills) > 0 {
			fmt.Fprintf(b, "  Skills without tape, population only: %s.\n", strings.Join(e.Skills, ", "))
		}
	}
}
