package fighter

import (
	"path/filepath"

	"whatbout/internal/input"
	"whatbout/tape"
)

// PopulationFormat is the value of format in a population file.
const PopulationFormat = "whatbout.population/1"

// What is not done is left out, so that a rate or weight is never 0.
const (
	leastRate, mostRate     = 1e-6, 100.0
	leastWeight, mostWeight = 1e-6, 1e6
	leastSpread, mostSpread = 1e-3, 10.0
	leastCounts, mostCounts = .1, 1000.0
	leastTable, mostTable   = .1, 1e4
)

// ReadPopulation reads a population (YAML, format whatbout.population/1); file only names it in faults. All blocks, zones, threats and
// sizes must be there, and a mark over every figure. A rate may have counts of its own ({value, counts}), a table a weight, a sense or bite an sd;
// else those under prior count. The error lists all faults (input.Faults), and then there is no population.
func ReadPopulation(file string, data []byte) (*PopulationFile, error) {
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Word("format", PopulationFormat)
	if err := doc.Faults().Err(); err != nil && root.Has("format") { // another kind of file has nothing else to tell
		return nil, err
	}
	root.Known("format", "body", "prior", "hands_only", "initiate", "answer", "continue", "defend", "survive", "hold", "sense", "bite", "places", "after", "sizes")
	r := populationReader{&PopulationFile{Figures: make([]Posterior, NumFigures()), Marks: map[string]Mark{},
		ID: PopulationID{filepath.Base(file), input.SHA256(data)}}}
	r.body(root)
	p := r.prior(root)
	r.out.Prior = p
	r.handsOnly(root)
	r.initiate(root, p)
	r.exchange(root, "answer", Answer, p)
	r.exchange(root, "continue", Continue, p)
	r.defend(root, p)
	r.survive(root)
	r.hold(root)
	r.cues(root, p)
	r.skills(p)
	r.places(root, p)
	r.after(root, p)
	r.sizes(root)
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return r.out, nil
}

type populationReader struct{ out *PopulationFile }

func (r populationReader) body(root input.Map) {
	keys := []string{"stature", "span", "leg", "weight"}
	b := r.block(root, "body", append(keys, "stance"))
	r.out.Body = Body{
		Stature: b.number("stature", "body.stature", 1.2, 2.4), Span: b.number("span", "body.span", 1.2, 2.6),
		Leg: b.number("leg", "body.leg", .5, 1.5), Weight: b.number("weight", "body.weight", 30, 250),
		Southpaw: b.Word("stance", "orthodox", "southpaw") == "southpaw",
	}
}

func (r populationReader) prior(root input.Map) Prior {
	b := r.block(root, "prior", []string{"rate_counts", "table_weight", "skill_sd", "sense_sd", "bite_sd", "place_sd", "after_sd"})
	return Prior{
		RateCounts:  b.number("rate_counts", "prior.rate_counts", leastCounts, mostCounts),
		TableWeight: b.number("table_weight", "prior.table_weight", leastTable, mostTable),
		Skill:       b.number("skill_sd", "prior.skill_sd", leastSpread, mostSpread),
		Sense:       b.number("sense_sd", "prior.sense_sd", leastSpread, mostSpread),
		Bite:        b.number("bite_sd", "prior.bite_sd", leastSpread, mostSpread),
		Place:       b.number("place_sd", "prior.place_sd", leastSpread, mostSpread),
		After:       b.number("after_sd", "prior.after_sd", leastSpread, mostSpread),
	}
}

func (r populationReader) handsOnly(root input.Map) {
	b := r.block(root, "hands_only", []string{"initiate", "answer", "continue"})
	multiple := func(key string) float64 { return b.number(key, "hands_only."+key, .01, 100) }
	r.out.HandsOnly = Tempo{multiple("initiate"), multiple("answer"), multiple("continue")}
}

func (r populationReader) initiate(root input.Map, p Prior) {
	all := r.block(root, "initiate", zoneNames[:])
	for z := range NumZones {
		row := all.row(z.String(), tape.MoveNames())
		for _, m := range row.moves(z) {
			if m == tape.NoMove {
				row.Fault(m.String(), "a rate of doing nothing", "rates of acts only", "")
				continue
			}
			f := Initiate(z, m)
			counts := p.RateCounts
			rate := row.spread(m.String(), definitions[f].Name, leastRate, mostRate, &spreadKey{"counts", leastCounts, mostCounts, &counts})
			r.out.Figures[f] = Posterior{counts, counts / rate}
		}
	}
}

func (r populationReader) exchange(root input.Map, table string, figure func(int, tape.Move) Figure, p Prior) {
	all := r.block(root, table, zoneNames[Kicking:Kicking+ExchangeZones])
	for i := range ExchangeZones {
		z := Kicking + Zone(i)
		row := all.row(z.String(), append(tape.MoveNames(), "weight"))
		var figures []Figure
		for _, m := range row.moves(z) {
			f := figure(i, m)
			figures = append(figures, f)
			r.out.Figures[f].A = row.number(m.String(), definitions[f].Name, leastWeight, mostWeight)
		}
		r.scale(all, z.String(), figures, row.FloatOr("weight", p.TableWeight, leastTable, mostTable))
	}
}

func (r populationReader) defend(root input.Map, p Prior) {
	all := r.block(root, "defend", threatNames[:])
	for t := range NumThreats {
		row := all.row(t.String(), append(responseNames(), "weight"))
		var figures []Figure
		for x := range NumResponses {
			if row.Has(x.String()) {
				f := Defend(t, x)
				figures = append(figures, f)
				r.out.Figures[f].A = row.number(x.String(), definitions[f].Name, leastWeight, mostWeight)
			}
		}
		r.scale(all, t.String(), figures, row.FloatOr("weight", p.TableWeight, leastTable, mostTable))
	}
}

// scale makes the weights of a table sum to total. Figures stand in the order of their names, so that the sum is the same each time.
func (r populationReader) scale(all markedMap, row string, figures []Figure, total float64) {
	if len(figures) == 0 && all.IsMap(row) {
		all.Fault(row, "a table without weights", "at least one weight", "")
	}
	sum := 0.0
	for _, f := range figures {
		sum += r.out.Figures[f].A
	}
	for _, f := range figures {
		r.out.Figures[f].A = float64(total*r.out.Figures[f].A) / sum
	}
}

func (r populationReader) survive(root input.Map) {
	b := r.block(root, "survive", survivalNames[:])
	for s := range NumSurvivals {
		f := Survive(s)
		r.out.Figures[f].A = b.number(s.String(), definitions[f].Name, leastWeight, mostWeight)
	}
}

func (r populationReader) hold(root input.Map) {
	b := r.block(root, "hold", holdNames[:])
	for h := range NumHolds {
		f := Holding(h)
		r.out.Figures[f].A = b.number(h.String(), definitions[f].Name, leastWeight, mostWeight)
	}
}

func (r populationReader) cues(root input.Map, p Prior) {
	sense, bite := r.block(root, "sense", cueNames[:]), r.block(root, "bite", cueNames[:])
	for c := range NumCues {
		senses, bites := p.Sense, p.Bite
		r.out.Figures[Sense(c)].A = sense.spread(c.String(), "sense."+c.String(), -10, 10, &spreadKey{"sd", leastSpread, mostSpread, &senses})
		r.out.Figures[Bite(c)].A = bite.spread(c.String(), "bite."+c.String(), -10, 10, &spreadKey{"sd", leastSpread, mostSpread, &bites})
		r.out.Figures[Sense(c)].B, r.out.Figures[Bite(c)].B = senses, bites
	}
}

// skills stand above and below the population, whose own are 0 by that.
func (r populationReader) skills(p Prior) {
	for f := range NumFamilies {
		for _, figure := range []Figure{Attack(f), Defence(f)} {
			r.out.Figures[figure] = Posterior{0, p.Skill}
			r.out.Marks[definitions[figure].Name] = r.out.Marks["prior.skill_sd"]
		}
	}
}

func (r populationReader) places(root input.Map, p Prior) {
	all := r.block(root, "places", placeNames[:])
	for place := range NumPlaces {
		row := all.row(place.String(), sortNames[:])
		for s := range NumSorts {
			r.multiple(row, s.String(), Placed(place, s), p.Place)
		}
	}
}

func (r populationReader) after(root input.Map, p Prior) {
	all := r.block(root, "after", []string{"own", "their"})
	own, their := all.row("own", afterNames[AfterStep:]), all.row("their", afterNames[AfterFeint:])
	for a := AfterStep; a < NumAfters; a++ {
		r.multiple(own, a.String(), Follows(a), p.After)
	}
	for a := AfterFeint; a < NumAfters; a++ {
		r.multiple(their, a.String(), Replies(a), p.After)
	}
}

// multiple reads a multiple with the spread of its logarithm among professionals.
func (r populationReader) multiple(row markedMap, key string, f Figure, sd float64) {
	median := row.spread(key, definitions[f].Name, leastSpread, mostRate, &spreadKey{"sd", leastSpread, mostSpread, &sd})
	r.out.Figures[f] = Posterior{median, sd}
}

func (r populationReader) sizes(root input.Map) {
	var names []string
	for _, s := range sizeNames {
		names = append(names, s[0])
	}
	all := r.block(root, "sizes", names)
	for i, name := range names {
		row := all.row(name, []string{"median", "spread"})
		r.out.Figures[Alone(i)] = Posterior{row.Float("median", leastSpread, mostRate), row.Float("spread", leastSpread, mostSpread)}
		r.out.Marks[name] = row.mark
	}
}

func responseNames() []string {
	names := make([]string, NumResponses)
	for i, r := range responses {
		names[i] = r.name
	}
	return names
}
