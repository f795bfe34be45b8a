package calibrate

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// Of every figure that tape coded by exchanges moved, alone and beside tape of every act, the rows are as many as the profile says were seen;
// of skills, which state information, hits and exchanges are those of the tape, counted by hand.
func TestCoarseRowsAreAsManyAsTheProfileStates(t *testing.T) {
	r := newRing(t, 31, 6, 4)
	for name, full := range map[string][]*tape.Coding{"alone": nil, "mixed": r.full[:2]} {
		o := Options{Coarse: r.coarse[2:], Coder: UsualCoder()}
		made, err := Calibrate(full, o)
		require.NoError(t, err)
		id := ringID(2)
		p := made.Profiles[id]
		told := map[CoarseTells]int{}
		some := map[CoarseTells]int{}
		for i := range p.Figures {
			f := fighter.Figure(i)
			family, defence, skill := familyOf(f)
			moved := p.Sources[f] == fighter.FromTape
			if shown(f) != nil || skill && i%3 > 0 || !skill && moved && i%5 > 0 || !moved && i%23 > 0 { // some of each kind
				continue
			}
			rows, err := Behind(full, o, id, f)
			require.NoError(t, err)
			c := rows.Coarse
			require.NotEmpty(t, c.Bouts)
			told[c.Tells]++
			if skill {
				require.Equal(t, theCoarseUsual().clean.slope[family] > 0, c.Tells == TellsSkill)
				if c.Tells == TellsSkill {
					exchanges, hits := cleanByHand(o.Coarse, id, defence)
					require.Equal(t, [2]float64{exchanges, hits}, [2]float64{c.Exchanges, c.Hits})
					require.Len(t, c.Sightings, int(exchanges))
					some[c.Tells]++
				}
				continue
			}
			require.InDelta(t, p.Seen[f], rows.Count+c.Count, 1e-6*(1+p.Seen[f]), "%s, %s", name, fighter.Define(f).Name)
			count, seconds := 0.0, 0.0
			for _, s := range c.Sightings {
				if s.Exchange == nil {
					seconds += s.Seconds
				} else if s.Hit {
					count += s.Weight
				}
			}
			require.InDelta(t, c.Count, count, 1e-9)
			require.InDelta(t, c.Seconds, seconds, 1e-9)
			if c.Tells != TellsRate && c.Tells != TellsBack {
				require.Empty(t, c.Sightings)
				require.Zero(t, c.Count)
			} else if c.Count > 0 {
				some[c.Tells]++
			}
		}
		for _, tells := range []CoarseTells{TellsRate, TellsBack, TellsSkill} {
			require.Positive(t, some[tells], name)
		}
		require.Positive(t, told[TellsNothing])
		require.Positive(t, told[TellsTable])
	}
}

// cleanByHand counts exchanges in which clean hits of a fighter, or on them, were counted, and the hits.
func cleanByHand(coarse []*tape.Coarse, id string, taken bool) (exchanges, hits float64) {
	for _, c := range coarse {
		at := slices.IndexFunc(c.Bout.Fighters[:], func(f tape.Fighter) bool { return f.ID == id })
		if at < 0 {
			continue
		}
		if taken {
			at = 1 - at
		}
		for _, x := range c.Exchanges {
			if x.Clean[at] != tape.Uncoded {
				exchanges, hits = exchanges+1, hits+float64(x.Clean[at])
			}
		}
	}
	return exchanges, hits
}

// By age a bout coded by exchanges weighs as one of every act does: counts, seconds and what giving ground is told from by one half after a
// half-life, beside a newer bout that only the day is from.
func TestCoarseTapeAges(t *testing.T) {
	r := newRing(t, 32, 3, 2)
	r.full[0].Bout.Date = "2026-01-01"
	for _, c := range r.coarse {
		c.Bout.Date = "2025-01-01" // 365 days before
	}
	coarse := []*tape.Coarse{r.coarse[1]}
	id := ringID(2) // not in the newer bout
	back := theCoarseUsual().gave.targets[0].figure
	plain, err := Calibrate(r.full[:1], Options{Coarse: coarse})
	require.NoError(t, err)
	aged, err := Calibrate(r.full[:1], Options{Coarse: coarse, Age: Ageing{HalfLife: 365}})
	require.NoError(t, err)
	was, is := plain.Evidence[id].Coarse, aged.Evidence[id].Coarse
	require.InEpsilon(t, was.Minutes/2, is.Minutes, 1e-9)
	require.InEpsilon(t, was.Exchanges/2, is.Exchanges, 1e-9)
	require.Equal(t, was.Rounds, is.Rounds)
	require.InEpsilon(t, plain.Profiles[id].Seen[back]/2, aged.Profiles[id].Seen[back], 1e-9)
	jab := fighter.Initiate(fighter.Kicking, tape.MoveJab)
	require.Less(t, aged.Profiles[id].Figures[jab].A, plain.Profiles[id].Figures[jab].A)
	require.Equal(t, "2026-01-01", Ageing{HalfLife: 365}.from((&counted{full: sourcesOf(r.full[:1], nil), coarse: coarseSourcesOf(coarse, nil)}).all()))

	coarse[0].Bout.Date = ""
	_, err = Calibrate(r.full[:1], Options{Coarse: coarse, Age: Ageing{HalfLife: 365}})
	require.ErrorContains(t, err, "has no date")
}

// What a coder is taken to do wrong is read back from how a profile's file says it.
func TestCoderIsReadBack(t *testing.T) {
	for _, text := range []string{"usual", "missed=5", "missed=12.5,feints=33,extra=0,confused=7,wrong=1", "extra=70"} {
		c, err := ReadCoderDoubt(text)
		require.NoError(t, err)
		back, err := ReadCoderDoubt(c.Text())
		require.NoError(t, err, c.Text())
		require.Equal(t, c, back, text)
	}
	require.Empty(t, CoderDoubt{}.Text())
	require.Equal(t, "usual", UsualCoder().Text())
}
