package main

import (
	"cmp"
	"fmt"
	"slices"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// league is a set of fighters whose truth is known, and what a coder who errs nowhere made of their bouts.
type league struct {
	rules  *tape.RuleSet
	ids    []string
	truths []fighter.Draw
	tape   []*tape.Coding
}

// newLeague draws n truths from the population, assumptions at their centre, and plays bouts of three rounds in a ring: everybody meets the
// next k, so that everybody's skills are told from several opponents. perFighter is a number of rounds each, a multiple of three; with
// three, neighbours meet in pairs (n is even).
func newLeague(seed uint64, n, perFighter int) (*league, error) {
	truths := make([]fighter.Draw, n)
	for i := range truths {
		truths[i] = fighter.Population(voleID(i), fighter.AverageBody()).Draw(seed, 0, false)
	}
	return leagueOf(seed, truths, perFighter)
}

func voleID(i int) string { return fmt.Sprintf("vole%03d", i) }

// leagueOf is newLeague for truths that are given.
func leagueOf(seed uint64, truths []fighter.Draw, perFighter int) (*league, error) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		return nil, err
	}
	l := &league{rules: rules, truths: truths}
	for i := range truths {
		l.ids = append(l.ids, voleID(i))
	}
	bout := sim.NewBout()
	bout.NoStop = true
	bout.Setup(rules, sim.AverageWorld())
	for _, p := range schedule(len(truths), perFighter) {
		if err := l.play(bout, seed, p); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// schedule says who meets whom: everybody has bouts for so many rounds of three a bout.
func schedule(n, rounds int) (pairs [][2]int) {
	bouts := rounds / 3
	for apart := 1; apart <= bouts/2; apart++ {
		for i := range n {
			pairs = append(pairs, [2]int{i, (i + apart) % n})
		}
	}
	if bouts%2 == 1 { // one more each, halfway round or with the neighbour
		for i := 0; bouts == 1 && i+1 < n; i += 2 {
			pairs = append(pairs, [2]int{i, i + 1})
		}
		for i := 0; bouts > 1 && i < n/2; i++ {
			pairs = append(pairs, [2]int{i, i + n/2})
		}
	}
	return pairs
}

func (l *league) play(b *sim.Bout, seed uint64, pair [2]int) error {
	for c, i := range pair {
		if err := b.Sides[c].Load(fighter.AverageBody(), l.truths[i], nil, nil, l.rules); err != nil {
			return err
		}
	}
	b.Run(kernel.NewKey(seed, 0x7265636f766572, uint64(len(l.tape))))
	l.tape = append(l.tape, l.coding(pair, b.Events))
	return nil
}

// coding writes a bout down as a coder would who looked for everything and saw everything.
func (l *league) coding(pair [2]int, events []tape.Event) *tape.Coding {
	b := &tape.Bout{ID: fmt.Sprintf("bout%05d", len(l.tape)), Rules: l.rules.Name, RuleSet: l.rules, Level: "events", LookedFor: tape.AllGroups(),
		Corners: [2]bool{true, true}, Usual: true, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true}
	body := fighter.AverageBody()
	for c, i := range pair {
		b.Fighters[c] = tape.Fighter{ID: l.ids[i], Body: &tape.Physique{Stature: body.Stature, Span: body.Span, Leg: body.Leg,
			Weight: body.Weight, Stance: tape.Orthodox}}
	}
	out := &tape.Coding{Bout: b, Name: "events", Rows: make([]tape.Row, len(events))}
	for i, e := range events {
		out.Rows[i].Event = e
	}
	return out
}

// calibrated gives everybody's profile from the tape.
func (l *league) calibrated() (map[string]*fighter.Profile, error) {
	return calibrate.Profiles(l.tape)
}

// inOrder puts rows back in tape order after their clocks were changed.
func inOrder(rows []tape.Row) {
	slices.SortStableFunc(rows, func(a, b tape.Row) int {
		return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Clock, b.Clock))
	})
}
