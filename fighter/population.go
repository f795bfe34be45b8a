package fighter

import (
	_ "embed"
	"fmt"
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

// PopulationFile is what is believed of a professional nobody has coded yet.
type PopulationFile struct {
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
	p := &Profile{ID: id, Body: body, Figures: make([]Posterior, n), Sources: make([]Source, n), Seen: make([]float64, n)}
	copy(p.Figures, f.Figures)
	for i := range p.Sources {
		if definitions[i].Doubt == Assumption {
			p.Sources[i] = FromAssumption
		}
	}
	return p
}
