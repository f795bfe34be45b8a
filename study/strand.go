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
			name, of := strings.ReplaceAll(strandName(f), "%s", p.ID), p.ID
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
	fighter.Learning: "what %s learns within a bout", fighter.ReactionSimple: "how fast %s reacts", fighter.ReactionChoice: "how fast %s reacts",
	fighter.Anticipation: "how fast %s reacts", fighter.AnticipationLead: "how fast %s reacts", fighter.HandTime: "how fast %s moves", fighter.KickTime: "how fast %s moves", fighter.StepTime: "how fast %s moves",
	fighter.Retraction: "how fast %s moves", fighter.StepLength: "how fast %s moves", fighter.HandPower: "how hard %s hits", fighter.KickPower: "how hard %s hits",
	fighter.Chin: "what %s takes before being hurt", fighter.Trunk: "what %s takes before being hurt", fighter.Legs: "what %s takes before being hurt", fighter.Tiring: "how %s tires", fighter.Recovery: "how %s tires",
	fighter.SurgeHurt: "how %s follows up when the other is hurt",
}

// strandName says in words what a figure belongs to; %s is the fighter.
func strandName(f fighter.Figure) string {
	for z := range fighter.NumZones {
		if first := fighter.Initiate(z, 0); f >= first && f < first+fighter.Figure(tape.NumMoves) {
			return "what %s begins " + where[z]
		}
	}
	name := fighter.Define(f).Name
	for c := range fighter.NumCues {
		if f == fighter.Bite(c) || f == fighter.Sense(c) {
			return fmt.Sprintf("how often %%s bites on %s feints", c)
		}
	}
	for i, words := range aloneStrands {
		if f == fighter.Alone(i) {
			return words
		}
	}
	switch {
	case f < fighter.Defend(0, 0):
		return "what %s answers and follows up with"
	case f < fighter.Survive(0):
		return "how %s defends"
	case f < fighter.Sense(0):
		return "what %s does in trouble"
	case strings.HasPrefix(name, "place."):
		return "what the fence, the centre and the stances make %s do"
	case strings.HasPrefix(name, "after."):
		return "what %s answers and follows up with"
	case strings.HasPrefix(name, "attack."):
		return "how well %s attacks"
	}
	return "how well %s holds attacks off"
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
