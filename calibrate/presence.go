package calibrate

import (
	"cmp"
	"slices"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// Presence is how far two coders saw the same events.
type Presence struct {
	First      int            `json:"first"`  // events of the first coder
	Second     int            `json:"second"` // and of the second
	Matched    int            `json:"matched"`
	OnlyFirst  int            `json:"only_first"`
	OnlySecond int            `json:"only_second"`
	Agreement  infer.Interval `json:"agreement"` // 2·matched/(first + second)
}

// GroupPresence is the same within one code group. An event that the other coder put into another group is Confused, and counts against
// the agreement as if the other had not seen it.
type GroupPresence struct {
	Group string `json:"group"`
	Presence
	Confused    int            `json:"confused"`
	MissFirst   infer.Interval `json:"missed_by_first"` // chance, by capture-recapture
	MissSecond  infer.Interval `json:"missed_by_second"`
	TotalEvents infer.Interval `json:"events_there_were"` // with those that both missed
}

func newPresence(first, second, matched int, level float64) Presence {
	p := Presence{First: first, Second: second, Matched: matched, OnlyFirst: first - matched, OnlySecond: second - matched}
	p.Agreement = infer.PositiveAgreement(float64(matched), float64(p.OnlyFirst), float64(p.OnlySecond), level)
	return p
}

func presence(m *matching, level float64) Presence {
	return newPresence(len(m.pairs)+len(m.onlyFirst), len(m.pairs)+len(m.onlySecond), len(m.pairs), level)
}

func groupPresences(b *tape.Bout, m *matching, level float64) (out []GroupPresence) {
	for _, g := range actGroups {
		if looksFor(b, g) {
			out = append(out, groupPresence(g, m, level))
		}
	}
	return out
}

func groupPresence(g tape.Group, m *matching, level float64) GroupPresence {
	both, mixed, mixedFirst := 0, 0, 0
	for _, p := range m.pairs {
		a, o := inGroup(g, m.firstActs[p.first].Act), inGroup(g, m.secondActs[p.second].Act)
		switch {
		case a && o:
			both++
		case a:
			mixedFirst++
			mixed++
		case o:
			mixed++
		}
	}
	first, second := countActs(g, m.firstActs, m.onlyFirst), countActs(g, m.secondActs, m.onlySecond)
	out := GroupPresence{Group: g.String(), Confused: mixed,
		Presence:    newPresence(both+mixedFirst+first, both+mixed-mixedFirst+second, both, level),
		MissFirst:   infer.Missed(float64(both), float64(second), level),
		MissSecond:  infer.Missed(float64(both), float64(first), level),
		TotalEvents: infer.Recapture(float64(both+first), float64(both+second), float64(both), level)}
	return out
}

func countActs(g tape.Group, acts []codedAct, which []int) (n int) {
	for _, i := range which {
		if inGroup(g, acts[i].Act) {
			n++
		}
	}
	return n
}

// sameAct is the share of matched events that both call the same.
func sameAct(m *matching, level float64) infer.Interval {
	same := 0
	for _, p := range m.pairs {
		if m.firstActs[p.first].Act == m.secondActs[p.second].Act {
			same++
		}
	}
	return infer.Wilson(float64(same), float64(len(m.pairs)), level)
}

// confusions counts what each coder called an event, the most frequent first.
func confusions(m *matching) (out []Confusion) {
	counts := map[[2]tape.Act]int{}
	for _, p := range m.pairs {
		counts[[2]tape.Act{m.firstActs[p.first].Act, m.secondActs[p.second].Act}]++
	}
	for _, i := range m.onlyFirst {
		counts[[2]tape.Act{m.firstActs[i].Act, tape.NoAct}]++
	}
	for _, j := range m.onlySecond {
		counts[[2]tape.Act{tape.NoAct, m.secondActs[j].Act}]++
	}
	keys := make([][2]tape.Act, 0, len(counts))
	for k := range counts {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(p, q [2]tape.Act) int {
		return cmp.Or(cmp.Compare(counts[q], counts[p]), cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]))
	})
	for _, k := range keys {
		out = append(out, Confusion{k[0].String(), k[1].String(), counts[k]})
	}
	return out
}

// ConfusionTable counts events by the group each coder put them into, kicks apart from other strikes; the last row and column are for events that
// the first and the second do not have.
type ConfusionTable struct {
	Groups []string `json:"groups"` // "nothing" is the last
	Counts [][]int  `json:"counts"` // by the first coder's group, then the second's
}

func confusionByGroup(b *tape.Bout, m *matching) ConfusionTable {
	var t ConfusionTable
	at := map[tape.Group]int{}
	for _, g := range actGroups {
		if looksFor(b, g) {
			at[g] = len(t.Groups)
			t.Groups = append(t.Groups, g.String())
		}
	}
	nothing := len(t.Groups)
	t.Groups = append(t.Groups, "nothing")
	t.Counts = make([][]int, len(t.Groups))
	for i := range t.Counts {
		t.Counts[i] = make([]int, len(t.Groups))
	}
	for _, p := range m.pairs {
		t.Counts[at[homeGroup(m.firstActs[p.first].Act)]][at[homeGroup(m.secondActs[p.second].Act)]]++
	}
	for _, i := range m.onlyFirst {
		t.Counts[at[homeGroup(m.firstActs[i].Act)]][nothing]++
	}
	for _, j := range m.onlySecond {
		t.Counts[nothing][at[homeGroup(m.secondActs[j].Act)]]++
	}
	return t
}
