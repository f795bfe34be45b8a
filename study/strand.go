package study

import (
	"fmt"
	"strings"

	"whatbout/fighter"
	"whatbout/tape"
)

// Strand is a part of what is in doubt that is drawn independently of all other strands: figures of one fighter, skills of both that are believed
// together, the mechanics of a bout, or how well plans are followed. A truth with one strand taken from another truth is as likely as either.
type Strand struct {
	Name  string `json:"name"`
	Of    string `json:"of,omitempty"` // the fighter; none: of both, or of the bout
	Doubt string `json:"doubt"`        // tape or assumption

	figures [2][]fighter.Figure // of the fighter and of the opponent
	world   bool                // the mechanics
	coin    bool                // adherence
}

// strands parts all figures of a meeting, each in one strand; those of figures that never differ between draws are left out.
func (m *Meeting) strands() (out []*Strand) {
	at := map[string]*Strand{}
	blocks := m.blocks()
	for whose, p := range []*fighter.Profile{m.Fighter, m.Opponent} {
		for f := range p.Figures {
			f := fighter.Figure(f)
			post, law := p.Figures[f], fighter.Define(f).Law
			if law != fighter.Skill && post.A == 0 || (law == fighter.Skill || law == fighter.Size) && post.B == 0 {
				continue
			}
			name, of := strandName(f), p.ID
			if block, ok := blocks[p.ID+"."+fighter.Define(f).Name]; ok {
				name, of = "how well "+block+" come off, of both", ""
			}
			key := of + "." + name
			if at[key] == nil {
				at[key] = &Strand{Name: name, Of: of, Doubt: "tape"}
				out = append(out, at[key])
			}
			if fighter.Define(f).Doubt == fighter.Assumption && p.Sources[f] != fighter.FromTape {
				at[key].Doubt = "assumption"
			}
			at[key].figures[whose] = append(at[key].figures[whose], f)
		}
	}
	return append(out, &Strand{Name: groupMechanics, Doubt: "assumption", world: true}, &Strand{Name: groupHow, Doubt: "assumption", coin: true})
}

// blocks names the family of every skill that is believed together with others.
func (m *Meeting) blocks() map[string]string {
	out := map[string]string{}
	if m.Joint == nil {
		return out
	}
	for _, b := range m.Joint.Of(m.Fighter.ID, m.Opponent.ID).Blocks() {
		for _, name := range b.Names {
			out[name] = familyPlain(b.Name)
		}
	}
	return out
}

// familyPlain says a family of acts in words.
func familyPlain(name string) string {
	words := map[string]string{"straight": "straight punches", "looping": "hooks and overhands", "low_kick": "low kicks", "kick": "kicks to body and head",
		"close": "knees and elbows", "ground": "strikes on the ground", "takedown": "takedowns", "hand_fight": "hand-fights", "submission": "submissions"}
	if w, ok := words[name]; ok {
		return w
	}
	return spaced(name)
}

// aloneStrands are what the figures that stand alone belong to.
var aloneStrands = map[int]string{
	fighter.Learning: "what they learn within a bout", fighter.ReactionSimple: "how fast they react", fighter.ReactionChoice: "how fast they react",
	fighter.Anticipation: "how fast they react", fighter.AnticipationLead: "how fast they react", fighter.HandTime: "how fast they move", fighter.KickTime: "how fast they move",
	fighter.Retraction: "how fast they move", fighter.StepLength: "how fast they move", fighter.HandPower: "how hard they hit", fighter.KickPower: "how hard they hit",
	fighter.Chin: "what they take", fighter.Trunk: "what they take", fighter.Legs: "what they take", fighter.Tiring: "how they tire", fighter.Recovery: "how they tire",
	fighter.SurgeHurt: "how they follow up when the other is hurt",
}

// strandName says in words what a figure belongs to.
func strandName(f fighter.Figure) string {
	for z := range fighter.NumZones {
		if first := fighter.Initiate(z, 0); f >= first && f < first+fighter.Figure(tape.NumMoves) {
			return "what they begin " + where[z]
		}
	}
	name := fighter.Define(f).Name
	for c := range fighter.NumCues {
		if f == fighter.Bite(c) || f == fighter.Sense(c) {
			return fmt.Sprintf("how they bite on %s feints", c)
		}
	}
	for i, words := range aloneStrands {
		if f == fighter.Alone(i) {
			return words
		}
	}
	switch {
	case f < fighter.Defend(0, 0):
		return "what they answer and follow up with"
	case f < fighter.Survive(0):
		return "how they defend"
	case f < fighter.Sense(0):
		return groupTrouble
	case strings.HasPrefix(name, "attack."):
		return "how well they attack"
	}
	return "how well they are defended"
}

// Exchange takes strands of a cell's truth from another draw.
type Exchange struct {
	From    int // the draw
	Strands []*Strand
}

// exchanged gives a truth with strands taken from another.
func (t truth) exchanged(from truth, strands []*Strand) truth {
	t.red, t.blue = append(fighter.Draw(nil), t.red...), append(fighter.Draw(nil), t.blue...)
	for _, s := range strands {
		for _, f := range s.figures[0] {
			t.red[f] = from.red[f]
		}
		for _, f := range s.figures[1] {
			t.blue[f] = from.blue[f]
		}
		if s.world {
			t.world = from.world
		}
		if s.coin {
			t.coin = from.coin
		}
	}
	return t
}

// write puts what is exchanged into a cell's key.
func (x *Exchange) write(to func(form string, values ...any)) {
	to(" from %d", x.From)
	for _, s := range x.Strands {
		to(" %d %d %t %t", s.figures[0], s.figures[1], s.world, s.coin)
	}
}
