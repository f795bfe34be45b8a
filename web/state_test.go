package web

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawTactics(t *rapid.T) (x Tactics) {
	word := rapid.StringN(1, 12, 30)
	if rapid.Bool().Draw(t, "whole") {
		x.Plan = word.Draw(t, "plan")
		x.Without = append(x.Without, rapid.SliceOfNDistinct(rapid.IntRange(1, 9), 0, 3, rapid.ID).Draw(t, "without")...)
		slices.Sort(x.Without)
	}
	x.Phrases = append(x.Phrases, rapid.SliceOfNDistinct(word, 0, 3, rapid.ID).Draw(t, "phrases")...)
	slices.Sort(x.Phrases)
	return x
}

func drawWay(t *rapid.T) (y Way) {
	y.Tactics = drawTactics(t)
	for _, dial := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"bites.hip", "rate.jab", "adherence", "step"}), 0, 3, rapid.ID).Draw(t, "dials") {
		at := math.Round(rapid.Float64Range(-100, 900).Draw(t, "at")*1e4) / 1e4
		if at == 0 {
			at = 0
		}
		y.Moved = append(y.Moved, Moved{dial, rapid.Bool().Draw(t, "theirs"), at})
	}
	slices.SortFunc(y.Moved, Moved.compare)
	return y
}

// Exact: reading what was written gives the same state, so a what-if that is sent is the what-if that was meant.
func TestAnAddressHoldsTheWholeState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.OneOf(rapid.Just(""), rapid.StringN(1, 20, 40))
		s := &State{Fighter: word.Draw(t, "fighter"), Opponent: word.Draw(t, "opponent"), Way: drawWay(t), Reply: drawTactics(t),
			Rules: rapid.StringN(1, 20, 40).Draw(t, "rules"), Seed: rapid.Uint64().Draw(t, "seed"), Draws: rapid.IntRange(4, 400).Draw(t, "draws"),
			Bouts: rapid.IntRange(2, 60).Draw(t, "bouts")}
		s.Show = append(s.Show, rapid.SliceOfN(rapid.StringN(1, 10, 20), 0, 3).Draw(t, "show")...)
		if rapid.Bool().Draw(t, "pinned") {
			way := drawWay(t)
			s.Pin = &way
		}
		query := s.String()
		back, err := Parse(query)
		if err != nil {
			t.Fatalf("%s: %v", query, err)
		}
		require.Equal(t, s, back, query)
		require.Equal(t, query, back.String())
	})
}

// Every fault of an address is named, all at once.
func TestFaultsOfAnAddress(t *testing.T) {
	for query, wants := range map[string][]string{
		"draws=3&bouts=x":                 {`draws="3"; expected a whole number from 4 to 1000`, `bouts="x"`},
		"draws=1000&bouts=60":             {"make 60000 bouts a plan; expected at most 24000"},
		"figther=mole":                    {`"figther" is not known; did you mean "fighter"?`},
		"set=own.step":                    {"no value"},
		"set=bites.hip:3":                 {"it is not said whose"},
		"set=own.step:NaN":                {"not a number"},
		"set=own.step:.4&set=own.step:.5": {"own.step twice"},
		"pin=maybe":                       {"pin="},
		"seed=-1":                         {`seed="-1"`},
		"plan=press&without=0":            {`without="0"`},
		"rules=a&rules=b":                 {"rules stands 2 times"},
		"%zz":                             {"invalid URL escape"},
		strings.Repeat("rule=a&", 1000):   {"at most 6000"},
		"token=x":                         {`"token" is not known`},
		"set=own.a:1&set=own.b:1&set=own.c:1&set=own.d:1&set=own.e:1&set=own.f:1&set=own.g:1&set=own.h:1": {"set stands 8 times"},
	} {
		_, err := Parse(query)
		for _, want := range wants {
			require.ErrorContains(t, err, want, query)
		}
	}
	s, err := Parse("")
	require.NoError(t, err)
	require.Equal(t, &usual, s)
}
