package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tape"
)

// BoutSchema names the JSON form of a simulated bout.
const BoutSchema = "whatbout.story/1"

// Story is one simulated bout, to be told.
type Story struct {
	Names         [2]string // ids by corner
	Plans         [2]string
	Rules         *tape.RuleSet
	Seed          uint64
	Draw          int // -1: the centre of everything
	Bout          int
	Events        []tape.Event
	Outcome       sim.Outcome
	Inputs        []Input
	Version, Next string // Next: the command that shows a moment of it
}

// Clock writes a clock as reports show it: m:ss.s, cut to tenths.
func Clock(us int64) string { return tape.FormatClock(us / 100_000 * 100_000) }

// row is an event with the range that its fighter stood at.
type row struct {
	e    *tape.Event
	zone string // "" for what belongs to nobody
}

// rows pairs every event with its fighter's range.
func (s *Story) rows() (out []row) {
	var zone [2]tape.Value
	for i := range s.Events {
		e := &s.Events[i]
		if e.Act == tape.StateRange && e.Corner < 2 {
			zone[e.Corner] = e.Value
		}
		r := row{e: e}
		if e.Corner < 2 {
			r.zone = zone[e.Corner].String()
		}
		out = append(out, r)
	}
	return out
}

// Text tells the bout in sentences, one a line, with round, clock and the range of whoever acts.
func (s *Story) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s) against %s (%s), %s.\n%s.\n", title(s.Names[0]), s.Plans[0], title(s.Names[1]), s.Plans[1], s.Rules.Name, s.which())
	round := uint8(0)
	for _, r := range s.rows() {
		if r.e.Round != round {
			round = r.e.Round
			fmt.Fprintf(&b, "\nRound %d\n", round)
		}
		if told := s.tell(r.e); told != "" {
			fmt.Fprintf(&b, "%d %s %-8s %s\n", round, Clock(r.e.Clock), r.zone, told)
		}
	}
	fmt.Fprintf(&b, "\n%s\n%s\nWhy any of it happened: %s\n\n%s", s.ending(), s.tally(), s.Next, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func (s *Story) which() string {
	if s.Draw < 0 {
		return fmt.Sprintf("One bout (seed %d, bout %d) with every figure at its centre", s.Seed, s.Bout)
	}
	return fmt.Sprintf("One bout (seed %d, draw %d, bout %d), as a comparison with that seed plays it", s.Seed, s.Draw, s.Bout)
}

// ending says who won and how.
func (s *Story) ending() string {
	v := s.Outcome.Verdict
	if v.Method == sim.ByDecision {
		cards := make([]string, 3)
		for i, c := range s.Outcome.Cards {
			cards[i] = fmt.Sprintf("%d-%d", c[0], c[1])
		}
		on := strings.Join(cards, ", ")
		if v.Winner < 0 {
			return fmt.Sprintf("The cards read %s (%s first): a draw.", on, title(s.Names[0]))
		}
		return fmt.Sprintf("%s wins by a %s decision: %s (%s first).", title(s.Names[v.Winner]), v.Judges, on, title(s.Names[0]))
	}
	if v.Method == sim.NoContest {
		return fmt.Sprintf("No contest: stopped by a foul held to be accidental, round %d, %s.", v.Round, Clock(v.Clock))
	}
	how := map[sim.Method]string{sim.ByDisqualification: "by disqualification", sim.ByKO: "by knockout", sim.ByTKO: "when the referee has seen enough (TKO)", sim.BySubmission: "by submission",
		sim.ByCorner: "when corner or doctor stops it between rounds"}[v.Method]
	return fmt.Sprintf("%s wins %s, round %d, %s.", title(s.Names[v.Winner]), how, v.Round, Clock(v.Clock))
}

// tally counts what was thrown and what came through.
func (s *Story) tally() string {
	var lines []string
	for c, name := range s.Names {
		o, other := &s.Outcome.Sides[c], &s.Outcome.Sides[1-c]
		thrown, clean := int64(0), int64(0)
		for f := range o.Thrown {
			thrown, clean = thrown+o.Thrown[f], clean+o.Clean[f]
		}
		lines = append(lines, fmt.Sprintf("%s threw %d strikes, %d of them clean (%d to the head); steps back: %d, feints bitten on: %d of %d, takedowns: %d.",
			title(name), thrown, clean, o.HeadClean, o.StepsBack, other.Bitten, other.Feints, o.Takedowns))
	}
	return strings.Join(lines, "\n")
}

// storyRow is a row of the JSON form: words for everything that is a word.
type storyRow struct {
	Round   int     `json:"round"`
	Clock   string  `json:"clock"`
	Seconds float64 `json:"seconds"`
	Corner  string  `json:"corner,omitempty"`
	Fighter string  `json:"fighter,omitempty"`
	Range   string  `json:"range,omitempty"`
	Act     string  `json:"act"`
	Value   string  `json:"value,omitempty"`
	How     string  `json:"how,omitempty"`
	Limb    string  `json:"limb,omitempty"`
	Defence string  `json:"defence,omitempty"`
	Result  string  `json:"result,omitempty"`
	Told    string  `json:"told,omitempty"`
}

type storyEnd struct {
	Winner string              `json:"winner,omitempty"`
	Method string              `json:"method"`
	Judges string              `json:"judges,omitempty"`
	Round  int                 `json:"round"`
	Clock  string              `json:"clock"`
	Cards  [3][2]int           `json:"cards"`
	Told   string              `json:"told"`
	Counts map[string]storySum `json:"counts"`
}

type storySum struct {
	Thrown          map[string]int64   `json:"thrown"`
	Landed          map[string]int64   `json:"landed"`
	Clean           map[string]int64   `json:"clean"`
	HeadClean       int64              `json:"head_clean"`
	Knockdowns      int64              `json:"knockdowns"`
	Feints          int64              `json:"feints"`
	FeintsBittenOn  int64              `json:"feints_bitten_on"`
	StepsBack       int64              `json:"steps_back"`
	Takedowns       int64              `json:"takedowns"`
	SecondsByRange  map[string]float64 `json:"seconds_by_range"`
	SecondsInCentre float64            `json:"seconds_in_centre"`
	SecondsOnFence  float64            `json:"seconds_on_fence"`
}

func sumOf(c *sim.Counts) storySum {
	out := storySum{Thrown: map[string]int64{}, Landed: map[string]int64{}, Clean: map[string]int64{}, HeadClean: c.HeadClean, Knockdowns: c.Knockdowns,
		Feints: c.Feints, FeintsBittenOn: c.Bitten, StepsBack: c.StepsBack, Takedowns: c.Takedowns, SecondsByRange: map[string]float64{},
		SecondsInCentre: float64(c.Centre) / 1e6, SecondsOnFence: float64(c.Fence) / 1e6}
	for f := range fighter.Takedown {
		out.Thrown[f.String()], out.Landed[f.String()], out.Clean[f.String()] = c.Thrown[f], c.Landed[f], c.Clean[f]
	}
	for z := range fighter.NumZones {
		out.SecondsByRange[z.String()] = float64(c.Zone[z]) / 1e6
	}
	return out
}

// JSON writes the bout as one object.
func (s *Story) JSON(w io.Writer) error {
	var events []storyRow
	for _, r := range s.rows() {
		e := r.e
		out := storyRow{Round: int(e.Round), Clock: tape.FormatClock(e.Clock), Seconds: float64(e.Clock) / 1e6, Corner: e.Corner.String(), Range: r.zone,
			Act: e.Act.String(), Value: e.Value.String(), How: e.How.String(), Limb: e.Limb.String(), Defence: e.Defence.String(),
			Result: e.Result.String(), Told: s.tell(e)}
		if e.Corner < 2 {
			out.Fighter = s.Names[e.Corner]
		}
		events = append(events, out)
	}
	v := s.Outcome.Verdict
	end := storyEnd{Method: v.Method.String(), Round: int(v.Round), Clock: tape.FormatClock(v.Clock), Cards: s.Outcome.Cards, Told: s.ending(),
		Counts: map[string]storySum{}}
	if v.Method == sim.ByDecision {
		end.Judges = v.Judges.String()
	}
	if v.Winner >= 0 {
		end.Winner = s.Names[v.Winner]
	}
	for c, name := range s.Names {
		end.Counts[name] = sumOf(&s.Outcome.Sides[c])
	}
	out := struct {
		Schema  string     `json:"schema"`
		Version string     `json:"version"`
		Rules   string     `json:"rules"`
		Seed    uint64     `json:"seed"`
		Draw    *int       `json:"draw"` // null: the centre of everything
		Bout    int        `json:"bout"`
		Red     string     `json:"red"`
		Blue    string     `json:"blue"`
		Plans   [2]string  `json:"plans"`
		Inputs  []Input    `json:"inputs"`
		Outcome storyEnd   `json:"outcome"`
		Events  []storyRow `json:"events"`
	}{BoutSchema, s.Version, s.Rules.Name, s.Seed, nil, s.Bout, s.Names[0], s.Names[1], s.Plans, s.Inputs, end, events}
	if s.Draw >= 0 {
		out.Draw = &s.Draw
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(out)
}
