package calibrate

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"whatbout/internal/input"
	"whatbout/tape"
)

// Holding says which rounds are held back from the profiles that forecast them. The zero value holds nothing back.
type Holding struct {
	Each  string // HoldRounds or HoldBouts: each in turn; "": see below
	Round uint8  // rounds of this number in every bout, at once; 0: none
	Bout  string // the bout of this id; "": none
}

// What Each may be.
const (
	HoldRounds = "round"
	HoldBouts  = "bout"
)

// mostFolds bounds how often profiles are made when each round or bout is held back in turn: with more of them, several are at once.
const mostFolds = 20

// ParseHolding reads "", "round", "bout", "round=3", "bout=ID", or the id of a bout.
func ParseHolding(text string) (Holding, error) {
	name, value, given := strings.Cut(text, "=")
	switch {
	case !given && (text == HoldRounds || text == HoldBouts):
		return Holding{Each: text}, nil
	case given && name == HoldBouts && value != "":
		return Holding{Bout: value}, nil
	case given && name == HoldRounds:
		n, err := strconv.ParseUint(value, 10, 8)
		if err != nil || n == 0 {
			return Holding{}, fmt.Errorf("--hold-back %q; expected the number of a round, such as round=3", text)
		}
		return Holding{Round: uint8(n)}, nil
	case given:
		return Holding{}, fmt.Errorf("--hold-back %q; expected round or bout (each in turn), round=3, or the id of a bout", text)
	}
	return Holding{Bout: text}, nil
}

// Any reports whether anything is held back.
func (h Holding) Any() bool { return h != Holding{} }

// String gives the text that [ParseHolding] reads.
func (h Holding) String() string {
	switch {
	case h.Each != "":
		return h.Each
	case h.Round > 0:
		return fmt.Sprintf("round=%d", h.Round)
	case h.Bout != "":
		return "bout=" + h.Bout
	}
	return ""
}

// roundKey names a coded round.
type roundKey struct {
	bout  string
	round uint8
}

// fold is rounds that are audited together, with profiles made from all rounds but those, if they are held back at all.
type fold struct {
	audited map[roundKey]bool
	held    bool
}

func (f *fold) trains(k roundKey) bool { return !f.held || !f.audited[k] }

// folds cuts rounds, in order, into folds. It returns an error where what is to be held back is not there.
func (h Holding) folds(rounds []roundKey) ([]fold, error) {
	unit := func(k roundKey) any { return k }
	switch {
	case h.Each == HoldBouts:
		unit = func(k roundKey) any { return k.bout }
	case h.Each == "":
		f := fold{map[roundKey]bool{}, h.Any()}
		for _, k := range rounds {
			if !h.Any() || k.round == h.Round || k.bout == h.Bout {
				f.audited[k] = true
			}
		}
		if len(f.audited) == 0 {
			return nil, h.missing(rounds)
		}
		return []fold{f}, nil
	}
	at := map[any]int{}
	var out []fold
	for _, k := range rounds {
		u := unit(k)
		if _, ok := at[u]; !ok {
			at[u] = len(at)
		}
		i := at[u] % mostFolds
		if i == len(out) {
			out = append(out, fold{map[roundKey]bool{}, true})
		}
		out[i].audited[k] = true
	}
	return out, nil
}

func (h Holding) missing(rounds []roundKey) error {
	ids := map[string]bool{}
	for _, k := range rounds {
		ids[k.bout] = true
	}
	if h.Bout != "" {
		return fmt.Errorf("--hold-back %s: no bout of this id has a round to audit; %s", h.Bout, input.DidYouMean(h.Bout, slices.Sorted(maps.Keys(ids))))
	}
	return fmt.Errorf("--hold-back %s: no bout has a coded round %d", h, h.Round)
}

// training gives the codings without what a fold holds back.
func (f *fold) training(codings []*tape.Coding) (out []*tape.Coding) {
	bouts := map[*tape.Bout]*tape.Bout{}
	for _, c := range codings {
		if !slices.ContainsFunc(c.Rows, func(r tape.Row) bool { return !f.trains(roundKey{c.Bout.ID, r.Round}) }) {
			out = append(out, c)
			continue
		}
		rows := slices.DeleteFunc(slices.Clone(c.Rows), func(r tape.Row) bool { return !f.trains(roundKey{c.Bout.ID, r.Round}) })
		if len(rows) == 0 {
			continue
		}
		if bouts[c.Bout] == nil {
			bouts[c.Bout] = f.shortened(c.Bout, c.Rows)
		}
		if len(c.Bout.Coded) > 0 && len(bouts[c.Bout].Coded) == 0 { // what is left lies outside coded time, and must not count as coded
			continue
		}
		out = append(out, &tape.Coding{Bout: bouts[c.Bout], Name: c.Name, Rows: rows})
	}
	return out
}

// shortened is the bout without the rounds held back. Where its last round is one of them, the clock at which that ended is no other
// round's.
func (f *fold) shortened(b *tape.Bout, rows []tape.Row) *tape.Bout {
	out := *b
	last := slices.MaxFunc(rows, func(a, b tape.Row) int { return cmp.Compare(a.Round, b.Round) }).Round
	if !f.trains(roundKey{b.ID, last}) {
		out.End = 0
	}
	out.Coded = slices.DeleteFunc(slices.Clone(b.Coded), func(i tape.Interval) bool { return !f.trains(roundKey{b.ID, i.Round}) })
	return &out
}
