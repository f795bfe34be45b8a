package report

import (
	"encoding/json"
	"fmt"
	"io"

	"whatbout/sim"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// ReplaySchema names the JSON form of a replay.
const ReplaySchema = "whatbout.replay/1"

// Replay is one simulated bout to be looked at step by step, or the same bout on the same luck under two plans of the fighter.
type Replay struct {
	Names         [2]string // ids by corner
	Rules         *tape.RuleSet
	Seed          uint64
	Draw, Bout    int          // Draw -1: the centre of everything
	Bouts         []ReplayBout // one or two
	Parting       *study.Parting
	Inputs        []Input
	Version, Next string // Next: the command that makes it again
}

// ReplayBout is the bout under one pair of plans.
type ReplayBout struct {
	*study.Replay
	Plans [2]*tactics.Plan // by corner; nil: as usual
}

// NewReplay plays the bout as q has it and, if more than one plan is given, under each of them in place of q's, and finds where two part.
// It takes one or two plans; nil is as usual.
func NewReplay(q *study.One, plans ...*tactics.Plan) (*Replay, error) {
	r := &Replay{Names: [2]string{q.Fighter.ID, q.Opponent.ID}, Rules: q.Rules, Seed: q.Seed, Draw: q.Draw, Bout: q.Bout}
	for _, plan := range plans {
		one := *q
		one.Plan = plan
		played, err := one.Replay()
		if err != nil {
			return nil, err
		}
		r.Bouts = append(r.Bouts, ReplayBout{played, [2]*tactics.Plan{plan, q.OpponentPlan}})
	}
	if len(plans) != 2 {
		return r, nil
	}
	one := *q
	one.Plan = plans[0]
	var err error
	r.Parting, err = one.Part(plans[1])
	return r, err
}

// Story is bout i as a story.
func (r *Replay) Story(i int) *Story {
	b := &r.Bouts[i]
	return &Story{Names: r.Names, Plans: [2]string{planCalled(b.Plans[0]), planCalled(b.Plans[1])}, Rules: r.Rules, Seed: r.Seed, Draw: r.Draw, Bout: r.Bout,
		Events: b.Events, Outcome: b.Outcome, Inputs: r.Inputs, Version: r.Version, Next: r.Next}
}

// AsUsual is what no plan is called.
const AsUsual = "as usual"

// planCalled names a plan; none is as usual.
func planCalled(p *tactics.Plan) string {
	if p == nil {
		return AsUsual
	}
	return p.Name
}

// Called are the fighters' names for sentences.
func (r *Replay) Called() [2]string { return [2]string{title(r.Names[0]), title(r.Names[1])} }

// ToldRound is a round in sentences.
type ToldRound struct {
	Name  string
	Lines []ToldLine
}

// ToldLine is a sentence with its clock.
type ToldLine struct{ Clock, Told string }

// Rounds tells the bout round by round.
func (s *Story) Rounds() (out []ToldRound) {
	round := uint8(0)
	for i := range s.Events {
		e := &s.Events[i]
		if e.Round != round {
			round = e.Round
			out = append(out, ToldRound{Name: fmt.Sprintf("Round %d", round)})
		}
		if told := s.tell(e); told != "" {
			last := &out[len(out)-1]
			last.Lines = append(last.Lines, ToldLine{Clock(e.Clock), told})
		}
	}
	return out
}

// Ending says who won and how.
func (s *Story) Ending() string { return s.ending() }

// Which says which bout it is.
func (s *Story) Which() string { return s.which() }

// The JSON form: what a page needs to draw a bout and to say why. Lengths are mm from the middle of the area, clocks µs since the bell.
type replayJSON struct {
	Schema  string       `json:"schema"`
	Version string       `json:"version"`
	Rules   replayRules  `json:"rules"`
	Seed    uint64       `json:"seed"`
	Draw    *int         `json:"draw"` // null: the centre of everything
	Bout    int          `json:"bout"`
	Names   [2]string    `json:"names"` // for sentences
	Which   string       `json:"which"` // which bout it is, in words
	Bouts   []replayBout `json:"bouts"`
	Parting *replayPart  `json:"parting"` // null: one bout, or two that never part
	Words   []string     `json:"words"`   // what numbers in why stand for
	Again   string       `json:"again"`
	Caution string       `json:"caution"`
}

type replayRules struct {
	Name     string  `json:"name"`
	Rounds   int     `json:"rounds"`
	Seconds  int     `json:"seconds"`
	Shape    string  `json:"shape"`
	Sides    int     `json:"sides"`
	Diameter float64 `json:"diameter"` // m between opposite sides
	Kicks    bool    `json:"kicks"`    // allowed
}

type replayBout struct {
	Plans    [2]string       `json:"plans"`
	Reach    [2][3]int32     `json:"reach"` // hook, straight, kick
	Southpaw [2]bool         `json:"southpaw"`
	Rows     []replayRow     `json:"rows"`
	Places   [][6]int64      `json:"places"` // round, clock, then x and y of red and of blue
	Hurt     [][4]int64      `json:"hurt"`   // round, corner, from, until
	End      replayEnd       `json:"end"`
	Why      map[int][]whyIs `json:"why"` // by row
}

type replayEnd struct {
	Round int    `json:"round"`
	Clock int64  `json:"clock"`
	Told  string `json:"told"`
}

// replayRow is a row of the tape in its own words, and in a sentence where there is one.
type replayRow struct {
	Round   int    `json:"round"`
	Clock   int64  `json:"clock"`
	Corner  string `json:"corner,omitempty"`
	Act     string `json:"act"`
	Value   string `json:"value,omitempty"`
	Defence string `json:"defence,omitempty"`
	Result  string `json:"result,omitempty"`
	How     string `json:"how,omitempty"`
	Limb    string `json:"limb,omitempty"`
	Kind    string `json:"kind,omitempty"` // strike, takedown or feint
	Begun   int64  `json:"begun,omitempty"`
	Told    string `json:"told,omitempty"`
}

// replayPart is where two bouts part.
type replayPart struct {
	Round int       `json:"round"`
	Clock int64     `json:"clock"`
	First int       `json:"first"` // the first row that is not the same in both; the length of the shorter tape if all its rows are
	Told  []string  `json:"told"`
	Why   [][]whyIs `json:"why"` // of each
}

// JSON writes the replay as one compact object.
func (r *Replay) JSON(w io.Writer) error {
	words := &lexicon{at: map[string]int{}}
	a := r.Rules.Area
	out := replayJSON{Schema: ReplaySchema, Version: r.Version, Seed: r.Seed, Bout: r.Bout, Names: [2]string{title(r.Names[0]), title(r.Names[1])},
		Rules: replayRules{r.Rules.Name, r.Rules.Rounds, r.Rules.RoundSeconds, a.Shape, a.Sides, a.Diameter, kicks(r.Rules)}, Which: r.Story(0).which(), Again: r.Next, Caution: Cautions}
	if r.Draw >= 0 {
		out.Draw = &r.Draw
	}
	for i := range r.Bouts {
		out.Bouts = append(out.Bouts, r.bout(i, words))
	}
	out.Parting, out.Words = r.part(words), words.list
	data, err := json.Marshal(out) // with < escaped, so that it may stand in a page
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// kicks reports whether the rules leave any kick.
func kicks(rules *tape.RuleSet) bool {
	for m := range tape.NumMoves {
		if a := tape.Move(m).Act(); a >= tape.FrontKick && a <= tape.HighKick && rules.Allowed[m] {
			return true
		}
	}
	return false
}

func (r *Replay) bout(i int, words *lexicon) replayBout {
	b, story := &r.Bouts[i], r.Story(i)
	v := b.Outcome.Verdict
	out := replayBout{Plans: story.Plans, Southpaw: b.Southpaw, Places: [][6]int64{}, Hurt: [][4]int64{}, End: replayEnd{int(v.Round), v.Clock, story.ending()}, Why: map[int][]whyIs{}}
	for c, ring := range b.Reach {
		out.Reach[c] = [3]int32{ring.Hook, ring.Straight, ring.Kick}
	}
	for _, p := range b.Places {
		out.Places = append(out.Places, [6]int64{int64(p.Round), p.Clock, int64(p.At[0].X), int64(p.At[0].Y), int64(p.At[1].X), int64(p.At[1].Y)})
	}
	for _, h := range b.Hurt {
		out.Hurt = append(out.Hurt, [4]int64{int64(h.Round), int64(h.Corner), h.From, h.Until})
	}
	for k := range b.Events {
		out.Rows = append(out.Rows, rowOf(story, &b.Moments[k]))
		if why := (&Moment{Story: story, Plans: b.Plans, Moment: b.Moments[k]}).why(words); len(why) > 0 {
			out.Why[k] = why
		}
	}
	return out
}

func rowOf(s *Story, m *sim.Moment) replayRow {
	e := m.Event
	out := replayRow{Round: int(e.Round), Clock: e.Clock, Corner: e.Corner.String(), Act: e.Act.String(), Value: e.Value.String(), Defence: e.Defence.String(),
		Result: e.Result.String(), How: e.How.String(), Limb: e.Limb.String(), Told: s.tell(e)}
	switch {
	case e.Act.IsStrike():
		out.Kind = "strike"
	case e.Act.IsTakedown():
		out.Kind = "takedown"
	case e.Act.IsFeint():
		out.Kind = "feint"
	}
	if m.Begun != nil {
		out.Begun = m.Begun.Clock
	}
	return out
}
