package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
)

// State is all that an answer follows from. It is kept in the query of the address, so that a what-if can be sent. Keys are those of
// [Choices]; what is empty or 0 is the default and not written.
type State struct {
	Fighter, Opponent string
	Way                        // how the fighter fights, in the world as moved
	Reply             Tactics  // of the opponent
	Rules             string   // a built-in rule set, or a file of the folder
	Seed              uint64   // 1 unless written
	Draws             int      // 400 unless written
	Bouts             int      // a draw and plan, 24 unless written
	Show              []string // dials to show besides those that are moved, such as own.bites.hip; empty: the usual ones
	Pin               *Way     // what is compared with; nil: as usual
}

// Way is a plan and what is moved.
type Way struct {
	Tactics
	Moved []Moved // in the order of their names, each dial of a corner once
}

// Tactics is a plan put together: of a whole plan some rules may be left out, and named rules added.
type Tactics struct {
	Plan    string   // "": none
	Without []int    // rules of it that are left out, from 1, rising
	Phrases []string // named rules of plans/, in the order of their names
}

// Empty reports whether there is nothing to follow.
func (t *Tactics) Empty() bool { return t.Plan == "" && len(t.Phrases) == 0 }

// What an address may ask for. The run's length is bounded by the product.
const (
	usualDraws, usualBouts = 400, 24
	mostDraws, mostBouts   = 1000, 60
	mostPlayed             = 24000 // draws times bouts
	mostQuery              = 6000  // bytes of an address
	mostMoved              = 7     // sliders at a time
	mostPhrases            = 12
)

var usual = State{Rules: "mma-3x5", Seed: 1, Draws: usualDraws, Bouts: usualBouts}

// String writes the query. [Parse] of it gives an equal state.
func (s *State) String() string {
	var w queryWriter
	w.word("fighter", s.Fighter)
	w.word("opponent", s.Opponent)
	s.Way.write(&w, "")
	s.Reply.write(&w, "reply-")
	if s.Rules != usual.Rules {
		w.word("rules", s.Rules)
	}
	if s.Seed != usual.Seed {
		w.word("seed", strconv.FormatUint(s.Seed, 10))
	}
	if s.Draws != usual.Draws {
		w.word("draws", strconv.Itoa(s.Draws))
	}
	if s.Bouts != usual.Bouts {
		w.word("bouts", strconv.Itoa(s.Bouts))
	}
	w.words("show", s.Show)
	if s.Pin != nil {
		w.word("pin", "yes")
		s.Pin.write(&w, "pin-")
	}
	return strings.TrimPrefix(w.String(), "&")
}

func (y *Way) write(w *queryWriter, prefix string) {
	y.Tactics.write(w, prefix)
	for _, m := range y.Moved {
		w.word(prefix+"set", m.String())
	}
}

func (t *Tactics) write(w *queryWriter, prefix string) {
	w.word(prefix+"plan", t.Plan)
	for _, i := range t.Without {
		w.word(prefix+"without", strconv.Itoa(i))
	}
	w.words(prefix+"rule", t.Phrases)
}

// Parse reads a query. The error is a list of all faults. Whether the names in it are known is for [Server] to say.
func Parse(query string) (*State, error) {
	r := &queryReader{}
	if len(query) > mostQuery {
		r.fault(fmt.Sprintf("%d bytes", len(query)), fmt.Sprintf("at most %d", mostQuery))
		return nil, r.faults.Err()
	}
	var err error
	if r.values, err = url.ParseQuery(query); err != nil {
		r.fault(err.Error(), "keys and values, escaped as in every address")
		return nil, r.faults.Err()
	}
	s := &State{Fighter: r.word("fighter"), Opponent: r.word("opponent"), Way: r.way(""), Reply: r.tactics("reply-")}
	if s.Rules = r.word("rules"); s.Rules == "" {
		s.Rules = usual.Rules
	}
	s.Seed = r.seed()
	s.Draws, s.Bouts = r.whole("draws", usual.Draws, 4, mostDraws), r.whole("bouts", usual.Bouts, 2, mostBouts)
	if s.Draws*s.Bouts > mostPlayed {
		r.fault(fmt.Sprintf("draws=%d and bouts=%d make %d bouts a plan", s.Draws, s.Bouts, s.Draws*s.Bouts), fmt.Sprintf("at most %d; whatbout compare plays more", mostPlayed))
	}
	s.Show = r.many("show", mostMoved)
	if pin := r.word("pin"); pin == "yes" {
		way := r.way("pin-")
		s.Pin = &way
	} else if pin != "" {
		r.fault(fmt.Sprintf("pin=%.40q", pin), "yes, or nothing")
	}
	r.rest()
	return s, r.faults.Err()
}
