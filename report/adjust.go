package report

import (
	"encoding/csv"
	"fmt"
	"io"

	"whatbout/internal/infer"
	"whatbout/study"
)

// AdjustSchema names the JSON form of plans against an opponent who adjusts.
const AdjustSchema = "whatbout.adjust/1"

// Adjust is what plans are worth when the opponent adjusts. Worths are shares of bouts won, half of what nobody wins included; those of the
// opponent's plans are as the opponent sees them.
type Adjust struct {
	Schema     string          `json:"schema"`
	Version    string          `json:"version"`
	Seed       uint64          `json:"seed"`
	Draws      int             `json:"draws"`
	Bouts      int             `json:"bouts_per_draw"`
	Played     int             `json:"bouts"`
	Saved      float64         `json:"saved"` // bouts on independent luck that one of these is worth; 0: any number
	Level      float64         `json:"level"`
	Rules      string          `json:"rules"`
	Fighter    string          `json:"fighter"`
	Opponent   string          `json:"opponent"`
	Slack      float64         `json:"slack"`
	AcceptHarm bool            `json:"accept_harm"`
	HarmMargin float64         `json:"harm_margin"`
	Yours      []study.Option  `json:"plans"`
	Theirs     []study.Option  `json:"opponent_plans"`
	Met        [][]study.Met   `json:"met"` // by plan and reply
	Value      infer.Interval  `json:"value"`
	Tried      [2]float64      `json:"tried"`
	Usual      float64         `json:"against_as_usual"`
	Saddle     bool            `json:"saddle"`
	Several    [2]bool         `json:"several"`
	Luck       float64         `json:"luck_sd"`
	Tape       infer.Spreading `json:"tape"`
	AllDoubt   infer.Spreading `json:"all_doubt"`
	Knowing    study.Knowing   `json:"knowing"`
	Partial    bool            `json:"partial,omitempty"`
	Inputs     []Input         `json:"inputs"`
	Warnings   []string        `json:"warnings"`
	Again      string          `json:"again"`
}

// NewAdjust describes a result. Version, what was read, warnings and the line to repeat it are left to the caller.
func NewAdjust(q *study.Adjust, r *study.AdjustResult) *Adjust {
	return &Adjust{Schema: AdjustSchema, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Played: r.Played, Saved: r.Saved, Level: q.Level, Rules: q.Rules.Name,
		Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, Slack: q.Slack, AcceptHarm: q.AcceptHarm, HarmMargin: study.HarmMargin, Yours: r.Yours, Theirs: r.Theirs,
		Met: r.Met, Value: r.Value, Tried: r.Tried, Usual: r.Usual, Saddle: r.Saddle, Several: r.Several, Luck: r.Luck, Tape: r.Tape, AllDoubt: r.AllDoubt,
		Knowing: r.Knowing, Partial: r.Partial, Inputs: []Input{}, Warnings: []string{}}
}

func (a *Adjust) lacks() string {
	if len(a.Yours) < 1 || len(a.Theirs) < 1 || len(a.Met) != len(a.Yours) {
		return "its plans and its matrix do not go together"
	}
	for _, row := range a.Met {
		if len(row) != len(a.Theirs) {
			return "its plans and its matrix do not go together"
		}
	}
	shares := 0
	for _, o := range a.Yours {
		if o.Share.Share.Centre > 0 {
			shares++
		}
		for _, p := range o.Prices {
			if study.MeasureNamed(p.Outcome) < 0 {
				return fmt.Sprintf("it has a price %q that is no measure", p.Outcome)
			}
		}
	}
	if shares == 0 {
		return "none of its plans has a share"
	}
	return ""
}

// JSON writes it as one object, six digits a number.
func (a *Adjust) JSON(w io.Writer) error { return writeJSON(w, a) }

// CSV writes a row a meeting of plans, then a row a plan of each side, in bouts of 100.
func (a *Adjust) CSV(w io.Writer) error {
	hundred := func(x ...float64) []string {
		for i := range x {
			x[i] *= 100
		}
		return numbers(x...)
	}
	rows := [][]string{{"kind", "plan", "opponent_plan", "won", "simulation_low", "simulation_high", "all_doubt_low", "all_doubt_high", "share", "share_low", "share_high", "gives_away"}}
	for i, o := range a.Yours {
		for j, p := range a.Theirs {
			m := &a.Met[i][j]
			rows = append(rows, append(append([]string{"meeting", o.Name, p.Name},
				hundred(m.Mean, m.Simulation.Low, m.Simulation.High, m.AllDoubt.Low, m.AllDoubt.High)...), "", "", "", ""))
		}
	}
	for side, options := range [][]study.Option{a.Yours, a.Theirs} {
		for _, o := range options {
			row := []string{"plan", o.Name, o.Reply}
			if side == 1 {
				row = []string{"opponent plan", o.Reply, o.Name}
			}
			row = append(append(row, hundred(o.Floor.Centre, o.Floor.Low, o.Floor.High)...), "", "")
			rows = append(rows, append(row, hundred(o.Share.Share.Centre, o.Share.Share.Low, o.Share.Share.High, o.Given.Centre)...))
		}
	}
	rows = append(rows, append(append([]string{"value", "", ""}, hundred(a.Value.Centre, a.Value.Low, a.Value.High, a.AllDoubt.Low, a.AllDoubt.High)...), "", "", "", ""))
	return csv.NewWriter(w).WriteAll(rows)
}
