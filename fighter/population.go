package fighter

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"sync"
)

//go:embed population.yaml
var populationFile []byte

var thePopulation = sync.OnceValue(func() *PopulationFile {
	f, err := ReadPopulation("population.yaml", populationFile)
	if err != nil {
		panic(fmt.Sprintf("fighter: embedded population: %v", err))
	}
	return f
})

// Shipped gives the embedded population. It must not be changed; see [PopulationFile.Clone].
func Shipped() *PopulationFile { return thePopulation() }

// Population gives the profile of somebody with that body of whom no tape is coded, from the embedded population.
func Population(id string, body Body) *Profile { return thePopulation().Profile(id, body) }

// PopulationYAML gives the embedded population file, for somebody to read.
func PopulationYAML() string { return string(populationFile) }

// AverageBody is an average professional, from the embedded population.
func AverageBody() Body { return thePopulation().Body }

// HandsOnly gives the multiples on punches where the rule set forbids all kicks, from the embedded population.
func HandsOnly() Tempo { return thePopulation().HandsOnly }

// Tempo holds multiples, 0.01 to 100, on how often something is begun, answered with and continued with.
type Tempo struct{ Initiate, Answer, Continue float64 }

// PopulationID names the file of a population and the SHA-256 of its bytes, in hexadecimal. The zero value stands for the embedded one.
type PopulationID struct{ Name, SHA256 string }

// Prior is how much tape the population counts for where a figure does not say: a rate as so many counts, a table as so many choices;
// the others are standard deviations between professionals, of log-odds, and of the logarithm for multiples by place and by last act.
type Prior struct{ RateCounts, TableWeight, Skill, Sense, Bite, Place, After float64 }

// PopulationFile is what is believed of a professional nobody has coded yet.
type PopulationFile struct {
	ID        PopulationID
	Prior     Prior
	Body      Body        // an average one
	Figures   []Posterior // by Figure; rates and weights of what is not done are 0
	HandsOnly Tempo
	// Marks are by name: a figure's ("attack.straight" has that of "prior.skill_sd"), or "body.", "prior." and "hands_only." with the
	// key behind it.
	Marks map[string]Mark
}

// Profile gives the profile of somebody with that body of whom no tape is coded.
func (f *PopulationFile) Profile(id string, body Body) *Profile {
	n := NumFigures()
	p := &Profile{ID: id, Body: body, Figures: make([]Posterior, n), Sources: make([]Source, n), Seen: make([]float64, n), Population: f.ID.recorded()}
	copy(p.Figures, f.Figures)
	for i := range p.Sources {
		if definitions[i].Doubt == Assumption {
			p.Sources[i] = FromAssumption
		}
	}
	return p
}

// recorded is how a profile names its population: not at all if it is the embedded one, under whatever name its bytes stand.
func (id PopulationID) recorded() PopulationID {
	if id.SHA256 == thePopulation().ID.SHA256 {
		return PopulationID{}
	}
	return id
}

// String says which population it is: its name and the first digits of its hash.
func (id PopulationID) String() string {
	if id == (PopulationID{}) {
		return "the population of the program"
	}
	return fmt.Sprintf("%s (SHA-256 %.12s...)", id.Name, id.SHA256)
}

// Clone gives a copy that may be changed. It has no hash until it is written and read.
func (f *PopulationFile) Clone() *PopulationFile {
	out := *f
	out.ID.SHA256 = ""
	out.Figures, out.Marks = slices.Clone(f.Figures), maps.Clone(f.Marks)
	return &out
}

// StandsOn gives the population that a profile stands on, if it is the embedded one or was given to [Profile.StandOn]; else nil.
func (p *Profile) StandsOn() *PopulationFile {
	if p.stands == nil && p.Population == (PopulationID{}) {
		return thePopulation()
	}
	return p.stands
}

// StandOn gives a profile the file of the population that it names. The error says that it is another.
func (p *Profile) StandOn(f *PopulationFile) error {
	if p.Population.SHA256 != f.ID.recorded().SHA256 {
		return fmt.Errorf("%q stands on %s, not on %s (SHA-256 %.12s...); expected the file that the profile was made with", p.ID, p.Population, f.ID.Name, f.ID.SHA256)
	}
	p.stands = f
	return nil
}

// Prior is what was believed of the fighter before any tape: the population's profile, the embedded one's where that of the profile is not at
// hand (see [Profile.StandsOn]).
func (p *Profile) Prior() *Profile {
	f := p.StandsOn()
	if f == nil {
		f = thePopulation()
	}
	return f.Profile(p.ID, p.Body)
}
