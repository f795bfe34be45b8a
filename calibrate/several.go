package calibrate

import (
	"cmp"
	"slices"

	"whatbout/tape"
)

// AllAgreement is how far three codings and more agree together.
type AllAgreement struct {
	Events int             `json:"events"` // that anybody saw
	Groups []GroupSeen     `json:"groups"`
	Codes  []CodeAgreement `json:"codes"`
}

// GroupSeen counts the events of a group by how many coders saw them: SeenBy[0] those that one did, and so on.
type GroupSeen struct {
	Group  string `json:"group"`
	SeenBy []int  `json:"seen_by"`
}

// sharedUnit is an event with who could have seen it.
type sharedUnit struct {
	acts   eventUnit
	judged []bool
}

// place names an act: coding and row.
type place struct{ coding, row int }

// unitsOf joins the pairs of all two codings into events, the cheapest pair first, so that no event has two acts of one coder.
func unitsOf(codings []*tape.Coding, compared []*comparedPair) []*sharedUnit {
	of := map[place]*sharedUnit{}
	type link struct {
		cost int64
		a, b place
	}
	var links []link
	n := len(codings)
	add := func(k, other int, acts []codedAct) {
		for i := range acts {
			at := place{k, acts[i].row}
			if of[at] == nil {
				of[at] = &sharedUnit{acts: make(eventUnit, n), judged: make([]bool, n)}
				of[at].acts[k], of[at].judged[k] = &acts[i], true
			}
			of[at].judged[other] = true
		}
	}
	for _, p := range compared {
		add(p.i, p.j, p.match.firstActs)
		add(p.j, p.i, p.match.secondActs)
		for _, q := range p.match.pairs {
			links = append(links, link{q.cost, place{p.i, p.match.firstActs[q.first].row}, place{p.j, p.match.secondActs[q.second].row}})
		}
	}
	slices.SortStableFunc(links, func(x, y link) int { return cmp.Compare(x.cost, y.cost) })
	for _, l := range links {
		join(of, of[l.a], of[l.b])
	}
	return inOrder(of)
}

// join makes one event of two if no coder has an act in both.
func join(of map[place]*sharedUnit, u, v *sharedUnit) {
	if u == v {
		return
	}
	for k := range u.acts {
		if u.acts[k] != nil && v.acts[k] != nil {
			return
		}
	}
	for k, a := range v.acts {
		u.judged[k] = u.judged[k] || v.judged[k]
		if a != nil {
			u.acts[k] = a
			of[place{k, a.row}] = u
		}
	}
}

// inOrder lists every event once, by the first coder who has it and the row there.
func inOrder(of map[place]*sharedUnit) (out []*sharedUnit) {
	at := make([]place, 0, len(of))
	for p := range of {
		at = append(at, p)
	}
	slices.SortFunc(at, func(p, q place) int { return cmp.Or(cmp.Compare(p.coding, q.coding), cmp.Compare(p.row, q.row)) })
	known := map[*sharedUnit]bool{}
	for _, p := range at {
		if u := of[p]; !known[u] {
			known[u] = true
			out = append(out, u)
		}
	}
	return out
}

func (u *sharedUnit) coders() (n int) {
	for _, a := range u.acts {
		if a != nil {
			n++
		}
	}
	return n
}

// in reports whether every coder who saw the event puts it into the group.
func (u *sharedUnit) in(g tape.Group) bool {
	for _, a := range u.acts {
		if a != nil && !inGroup(g, a.Act) {
			return false
		}
	}
	return true
}

func agreeAll(b *tape.Bout, coders int, units []*sharedUnit, o AgreeOptions) *AllAgreement {
	out := &AllAgreement{Events: len(units)}
	var twice []eventUnit
	for _, u := range units {
		if u.coders() >= 2 {
			twice = append(twice, u.acts)
		}
	}
	for _, g := range actGroups {
		if !looksFor(b, g) {
			continue
		}
		s := GroupSeen{g.String(), make([]int, coders)}
		for _, u := range units {
			if u.in(g) {
				s.SeenBy[u.coders()-1]++
			}
		}
		out.Groups = append(out.Groups, s)
	}
	out.Codes = codeAgreements(b, twice, o.Level, newBootstraps(o.Seed))
	return out
}
