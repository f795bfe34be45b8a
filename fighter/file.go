package fighter

import (
	"fmt"
	"io/fs"
	"strings"

	"whatbout/internal/input"
)

// ProfileFormat is the first line's value in a profile file.
const ProfileFormat = "whatbout.profile/1"

// lawKeys name the two numbers of a posterior, with what the first may be at most.
var lawKeys = [...]struct {
	a, b string
	most float64
}{Rate: {"count", "seconds", 1e9}, Weight: {"weight", "", 1e9}, Skill: {"mean", "sd", 10}, Size: {"median", "spread", 100}}

// ReadProfile reads a profile from YAML. Figures that the file leaves out are the embedded population's. The error lists all faults with line
// and column.
func ReadProfile(file string, data []byte) (*Profile, error) {
	return Shipped().ReadProfile(file, data)
}

// ReadProfile is the function of that name for figures that are left out and are this population's. A profile says itself against which
// population its tape was read, whatever fills it up here.
func (f *PopulationFile) ReadProfile(file string, data []byte) (*Profile, error) {
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Known("format", "id", "invented", "joint", "population", "made_from", "body", "figures")
	root.Word("format", ProfileFormat)
	p := f.Profile(root.Text("id"), ReadBody(root.Map("body")))
	p.Population, p.MadeFrom = readPopulationID(root), readMadeFrom(root)
	p.Invented = root.BoolOr("invented", false)
	p.JointFile = readJointFile(root)
	if root.Has("figures") {
		readFigures(p, root.Map("figures"))
	}
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return p, nil
}

// readJointFile reads the name of the joint part. A profile may come from anybody, so it names nothing outside its own folder.
func readJointFile(root input.Map) string {
	name := root.WordOr("joint", "")
	if name != "" && (!fs.ValidPath(name) || name == "." || strings.ContainsAny(name, `\:`)) {
		root.Fault("joint", fmt.Sprintf("joint is %q", name), "a file in the folder of the profile or below it", "")
	}
	return name
}

func readPopulationID(root input.Map) (id PopulationID) {
	if !root.Has("population") {
		return id
	}
	m := root.Map("population")
	m.Known("name", "sha256")
	return PopulationID{m.Text("name"), readSHA256(m, "sha256")}
}

// ReadBody reads a body: stature, span and leg in metres, weight in kilograms, stance.
func ReadBody(m input.Map) Body {
	m.Known("stature", "span", "leg", "weight", "stance")
	return Body{
		Stature: m.Float("stature", 1.2, 2.4), Span: m.Float("span", 1.2, 2.6), Leg: m.Float("leg", .5, 1.5), Weight: m.Float("weight", 30, 250),
		Southpaw: m.Word("stance", "orthodox", "southpaw") == "southpaw",
	}
}

func readFigures(p *Profile, m input.Map) {
	for _, name := range m.Keys() {
		f, ok := Named(name)
		if !ok {
			m.Fault(name, fmt.Sprintf("figure %q is not known", name), "a figure of a profile", input.DidYouMean(name, figureNames()))
			continue
		}
		row := m.Map(name)
		keys := lawKeys[Define(f).Law]
		low := 0.0
		if Define(f).Law == Skill {
			low = -keys.most
		}
		known := []string{keys.a, "source", "seen"}
		p.Figures[f] = Posterior{A: row.Float(keys.a, low, keys.most)}
		if keys.b != "" {
			known = append(known, keys.b)
			p.Figures[f].B = row.Float(keys.b, 1e-6, 1e9)
		}
		if Define(f).Law == Weight && row.Has("times") { // a share of which tape does not tell as much as of the others
			known = append(known, "times")
			p.Figures[f].B = row.Float("times", 1e-6, 1e9)
		}
		row.Known(known...)
		p.Seen[f] = row.FloatOr("seen", 0, 0, 1e9)
		source := row.Word("source", sourceNames[:]...)
		for s, word := range sourceNames {
			if word == source {
				p.Sources[f] = Source(s)
			}
		}
	}
}

func figureNames() []string {
	names := make([]string, len(definitions))
	for i, d := range definitions {
		names[i] = d.Name
	}
	return names
}

// WriteProfile writes a profile as YAML: effective counts, so that a coach can read how much stands behind a figure.
func WriteProfile(p *Profile) []byte {
	var b strings.Builder
	stance := "orthodox"
	if p.Body.Southpaw {
		stance = "southpaw"
	}
	fmt.Fprintf(&b, "format: %s\nid: %s\ninvented: %v\n", ProfileFormat, input.Scalar(p.ID), p.Invented)
	if p.JointFile != "" {
		fmt.Fprintf(&b, "joint: %s # how its skills depend on those of others\n", input.Scalar(p.JointFile))
	}
	if id := p.Population; id != (PopulationID{}) {
		fmt.Fprintf(&b, "population: {name: %s, sha256: %s}\n", input.Scalar(id.Name), input.Scalar(id.SHA256))
	}
	b.WriteString(p.MadeFrom.write())
	fmt.Fprintf(&b, "body: # metres, kilograms\n  stature: %s\n  span: %s\n  leg: %s\n  weight: %s\n  stance: %s\n",
		input.Number(p.Body.Stature), input.Number(p.Body.Span), input.Number(p.Body.Leg), input.Number(p.Body.Weight), stance)
	b.WriteString("# rates: count in so many free seconds; tables: weights; skills: log-odds above the population; sizes: median and log spread\nfigures:\n")
	for f, post := range p.Figures {
		d := definitions[f]
		if d.Law != Skill && post.A == 0 && Shipped().Figures[f].A == 0 {
			continue // left out, it is read as the embedded population's
		}
		if d.Law == Rate && post.B == 0 {
			post.B = 1
		}
		keys := lawKeys[d.Law]
		fmt.Fprintf(&b, "  %s: {%s: %s", d.Name, keys.a, input.Number(post.A))
		if keys.b != "" {
			fmt.Fprintf(&b, ", %s: %s", keys.b, input.Number(post.B))
		}
		if d.Law == Weight && post.B != 0 {
			fmt.Fprintf(&b, ", times: %s", input.Number(post.B))
		}
		fmt.Fprintf(&b, ", source: %s, seen: %s}\n", p.Sources[f], input.Number(p.Seen[f]))
	}
	return []byte(b.String())
}
