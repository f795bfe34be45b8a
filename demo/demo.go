// Package demo is the scenario that whatbout answers for when it is given no files. Everything in it is invented: the fighters, their
// styles and their bouts. The tape was made by the engine from the truths below and is frozen by hash, so that the answer can be
// held against the truth.
package demo

import (
	"embed"
	"fmt"
	"maps"
	"math"
	"slices"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

//go:embed tape
var files embed.FS

// Names of the two whose meeting the demo asks about.
const (
	Fighter  = "badger"
	Opponent = "heron"
)

// Bodies gives everybody's build.
var Bodies = map[string]fighter.Body{
	"badger": {Stature: 1.72, Span: 1.77, Leg: .90, Weight: 70, Southpaw: true},
	"heron":  {Stature: 1.85, Span: 1.92, Leg: 1.00, Weight: 70},
	"otter":  {Stature: 1.78, Span: 1.81, Leg: .94, Weight: 70},
	"lynx":   {Stature: 1.76, Span: 1.80, Leg: .93, Weight: 70, Southpaw: true},
	"stork":  {Stature: 1.82, Span: 1.88, Leg: .98, Weight: 70},
}

// styles say how each truth differs from the population: multiples of choices, shifts of skills.
var styles = map[string]func(d fighter.Draw){
	"badger": func(d fighter.Draw) {
		everywhere(d, map[tape.Move]float64{tape.MoveStepIn: 1.5, tape.MoveShoot: 2, tape.MoveOverhand: 1.8, tape.MoveLowKickOutside: 1.3,
			tape.MoveBodyKick: .5, tape.MoveHighKick: .4, tape.MoveHandFight: 1.2})
		d[fighter.Attack(fighter.Takedown)] = .35
		d[fighter.Attack(fighter.LeadHand)] = .2
		d[fighter.Defence(fighter.HighKicks)] = -.2
		d[fighter.Bite(fighter.Hip)] = 1.3
		d[fighter.Bite(fighter.Hand)] = .9
		d[fighter.Placed(fighter.TheirFence, fighter.Punches)] = 1.8
		d[fighter.Follows(fighter.AfterStep)] = 1.5
	},
	"heron": func(d fighter.Draw) {
		everywhere(d, map[tape.Move]float64{tape.MoveFeintHip: 2.5, tape.MoveFeintHand: 1.6, tape.MoveFrontKick: 2.5, tape.MoveBodyKick: 2,
			tape.MoveHighKick: 1.6, tape.MoveJab: 1.3, tape.MoveMeasure: 1.8, tape.MoveStepIn: .8, tape.MoveShoot: .3, tape.MoveTieUp: .6})
		d[fighter.Attack(fighter.HighKicks)] = .3
		d[fighter.Attack(fighter.StraightPunch)] = .15
		d[fighter.Defence(fighter.Takedown)] = .3
		d[fighter.Defence(fighter.LoopingPunch)] = -.2
		d[fighter.Bite(fighter.Level)] = 1.2
		d[fighter.Placed(fighter.OwnFence, fighter.Circling)] = 1.6
		d[fighter.Placed(fighter.OwnCentre, fighter.Kicks)] = 1.5
		d[fighter.Follows(fighter.AfterFeint)] = 2
	},
	"lynx": func(d fighter.Draw) {
		everywhere(d, map[tape.Move]float64{tape.MoveLeadHook: 1.5, tape.MoveLowKickCalf: 2})
	},
	"stork": func(d fighter.Draw) {
		everywhere(d, map[tape.Move]float64{tape.MoveJab: 1.4, tape.MoveStepBack: 1.3, tape.MoveFrontKick: 1.5})
	},
}

// everywhere multiplies a move's rates and weights wherever it can be chosen.
func everywhere(d fighter.Draw, by map[tape.Move]float64) {
	for m, x := range by {
		for z := range fighter.NumZones {
			d[fighter.Initiate(z, m)] *= x
		}
		for z := range fighter.ExchangeZones {
			d[fighter.Answer(z, m)] *= x
			d[fighter.Continue(z, m)] *= x
		}
	}
}

// Truth gives an invented fighter's figures as they really are.
func Truth(id string) fighter.Draw {
	d := fighter.Population(id, Bodies[id]).Centre()
	if style := styles[id]; style != nil {
		style(d)
	}
	for i, x := range d {
		if m, e := math.Frexp(x); x != 0 {
			d[i] = math.Ldexp(math.Round(m*(1<<20)), e-20)
		}
	}
	return d
}

// bouts lists the earlier bouts of the demo.
var bouts = [][2]string{
	{"badger", "otter"}, {"lynx", "badger"}, {"badger", "stork"}, {"heron", "lynx"}, {"otter", "heron"}, {"heron", "stork"},
}

func name(b [2]string) string { return b[0] + "-" + b[1] }

// Simulate plays an earlier bout again from the truths; this is how the tape was made.
func Simulate(i int) ([]tape.Event, error) {
	rules, err := Rules()
	if err != nil {
		return nil, err
	}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	for c, id := range bouts[i] {
		if err := b.Sides[c].Load(Bodies[id], Truth(id), nil, nil, rules); err != nil {
			return nil, err
		}
	}
	b.NoStop = true // the demo's tape has whole bouts
	b.Run(kernel.NewKey(0x64656d6f, uint64(i)))
	return b.Events, nil
}

// Rules gives the demo's rule set.
func Rules() (*tape.RuleSet, error) { return tape.RuleSetNamed("mma-3x5") }

// Tape reads the frozen tape: a coding a bout, in the order of the bouts.
func Tape() ([]*tape.Coding, error) {
	var out []*tape.Coding
	for _, b := range bouts {
		_, codings, err := tape.ReadBoutFS(files, "tape/"+name(b))
		if err != nil {
			return nil, fmt.Errorf("demo: %w", err)
		}
		out = append(out, codings...)
	}
	return out, nil
}

// Coded gives the folder of an earlier bout: what bout.yaml says, and the coding that the engine makes of it again.
func Coded(i int) (*tape.Coding, error) {
	rules, err := Rules()
	if err != nil {
		return nil, err
	}
	events, err := Simulate(i)
	if err != nil {
		return nil, err
	}
	bout := &tape.Bout{ID: name(bouts[i]), Coder: "engine", Rules: rules.Name, RuleSet: rules, Level: "events", LookedFor: tape.AllGroups(),
		Corners: [2]bool{true, true}, Usual: true, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true}
	for c, id := range bouts[i] {
		body := Bodies[id]
		stance := tape.Orthodox
		if body.Southpaw {
			stance = tape.Southpaw
		}
		bout.Fighters[c] = tape.Fighter{ID: id, Body: &tape.Physique{Stature: body.Stature, Span: body.Span, Leg: body.Leg, Weight: body.Weight, Stance: stance}}
	}
	coding := &tape.Coding{Bout: bout, Name: "events"}
	for _, e := range events {
		coding.Rows = append(coding.Rows, tape.Row{Event: e})
	}
	return coding, nil
}

// Inputs gives the embedded files by name, for hashing.
func Inputs() (map[string][]byte, error) {
	out := map[string][]byte{}
	for _, b := range bouts {
		for _, file := range []string{"bout.yaml", "events.csv"} {
			file = "tape/" + name(b) + "/" + file
			data, err := files.ReadFile(file)
			if err != nil {
				return nil, fmt.Errorf("demo: %w", err)
			}
			out[file] = data
		}
	}
	return out, nil
}

// Pair calibrates the two fighters from the tape.
func Pair() (*fighter.Pair, error) {
	codings, err := Tape()
	if err != nil {
		return nil, err
	}
	r, err := calibrate.Calibrate(codings, calibrate.Options{For: []string{Fighter, Opponent}})
	if err != nil {
		return nil, err
	}
	joint, err := r.Joint()
	if err != nil {
		return nil, err
	}
	return fighter.JoinPair(r.Profiles[Fighter], r.Profiles[Opponent], joint)
}

// Everybody calibrates all who are on the tape, in the order of [Pair] first, with the joint part of all. The two of Pair come out as they do there.
func Everybody() ([]*fighter.Profile, *fighter.Joint, error) {
	codings, err := Tape()
	if err != nil {
		return nil, nil, err
	}
	r, err := calibrate.Calibrate(codings, calibrate.Options{})
	if err != nil {
		return nil, nil, err
	}
	joint, err := r.Joint()
	if err != nil {
		return nil, nil, err
	}
	out := []*fighter.Profile{r.Profiles[Fighter], r.Profiles[Opponent]}
	for _, id := range slices.Sorted(maps.Keys(r.Profiles)) {
		if id != Fighter && id != Opponent {
			out = append(out, r.Profiles[id])
		}
	}
	return out, joint, nil
}

// AsUsual is no plan.
var AsUsual = &tactics.Plan{Name: "as usual"}

// StayClose is the demo's plan.
var StayClose = &tactics.Plan{
	Name:      "stay close",
	Intent:    "hand-fight the lead hand, give no ground, answer every attack, believe fewer feints as the bout goes on",
	Adherence: tactics.UsualAdherence,
	Rules: []tactics.Rule{
		{Name: "hand-fight the lead hand", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "hand_fight", By: 3}},
			When: map[tactics.Fact][]int{tactics.FactRange: {1, 2, 3}}},
		{Name: "no step back of your own", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		{Name: "give no ground when attacked", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		{Name: "answer every attack", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 2.5}, {What: "step_back", By: 0}, {What: "none", By: .5}}},
		{Name: "believe fewer feints", At: tactics.Believe, Multiples: []tactics.Multiple{{What: "real", By: .6}},
			When: map[tactics.Fact][]int{tactics.FactCue: {0, 1}}},
		{Name: "fewer still later", At: tactics.Believe, Multiples: []tactics.Multiple{{What: "real", By: .6}},
			When: map[tactics.Fact][]int{tactics.FactCue: {0, 1}, tactics.FactRound: {1, 2, 3, 4}}},
	},
}

// Codebook defines every act by eye.
//
//go:embed codebook.md
var Codebook []byte
