package tape

import (
	"math"

	"whatbout/internal/input"
)

// BoutFormat is the format of bout.yaml.
const BoutFormat = "whatbout.bout/1"

const boutFile = "bout.yaml"

// Fighter is who stood in a corner: an id (an alias) and, where the file gives it, the body.
type Fighter struct {
	ID   string
	Body *Physique
}

// Physique is a fighter's body as bout.yaml gives it: metres and kilograms.
type Physique struct {
	Stature, Span, Leg, Weight float64
	Stance                     Value // Orthodox or Southpaw: the usual one
}

// Interval is a stretch of a round that was coded, both ends included, µs since the bell.
type Interval struct {
	Round    uint8
	From, To int64
}

// Ended says how a bout ended. Where nothing is said, How is "" and Winner NoCorner; Round and Clock are 0 where they are not
// given, and Clock counts only with a Round.
type Ended struct {
	How    string // one of Endings
	Winner Corner // NoCorner: nobody
	Round  uint8
	Clock  int64 // µs since the bell of that round
}

// Endings lists the ways in which a bout can end.
func Endings() []string {
	return []string{"ko", "tko", "submission", "doctor", "corner", "disqualification", "unanimous", "split", "majority", "draw", "no_contest"}
}

// hasWinner reports whether somebody has won who ends a bout in this way.
func hasWinner(how string) bool { return how != "draw" && how != "no_contest" }

// Bout is what bout.yaml says about one bout and about what was coded of it.
type Bout struct {
	ID, Date, Coder string     // Date as 2006-01-02 or ""; Coder may be ""
	Fighters        [2]Fighter // by corner
	Rules           string     // a built-in rule set's name, or the name of a .yaml file in the bout's folder
	RuleSet         *RuleSet   // what Rules names, with the bout's own area if it has one
	Area            *Area      // of this bout, where it is not that of the rule set; else nil
	Level           string     // of coding: "events" or "exchanges" (see Coarse)
	LookedFor       Groups
	Corners         [2]bool    // whose acts were coded
	Coded           []Interval // in order; none means every round from bell to bell (or to the end)
	Usual           bool       // whether the bout counts for "as usual"
	Kind            string     // bout or sparring
	Ended           Ended
	End             int64 // clock at which the last coded round ended, µs; 0: at the bell
	Invented        bool
	Files           Files
}

// Files says which files a bout was read from; the zero value, from none.
type Files struct {
	Bout   string  // bout.yaml, as faults name it
	Bells  []int64 // video time at which each round's bell rang, µs, where clocks are in video time; else nil
	SHA256 string  // hexadecimal: of the lines "name, tab, SHA-256 of its bytes" of all files read of the folder, in the order of names
}

// VideoTime gives the time on the video of a clock of a round, µs, and whether that is known from bells. Where it is not, rounds and rests are
// taken to have the rule set's length from the last bell that is known, or from a first bell at 0.
func (b *Bout) VideoTime(round uint8, clock int64) (us int64, known bool) {
	if n := len(b.Files.Bells); int(round) <= n {
		return b.Files.Bells[round-1] + clock, true
	} else if n > 0 {
		us = b.Files.Bells[n-1] - int64(n-1)*b.pace()
	}
	return us + int64(round-1)*b.pace() + clock, false
}

// pace is from bell to bell, µs.
func (b *Bout) pace() int64 { return int64(b.RuleSet.RoundSeconds+b.RuleSet.RestSeconds) * 1e6 }

// Covers reports whether a moment is in coded time.
func (b *Bout) Covers(round uint8, clock int64) bool {
	for _, i := range b.Coded {
		if i.Round == round && i.From <= clock && clock <= i.To {
			return true
		}
	}
	return len(b.Coded) == 0
}

// ReadBout reads a bout.yaml whose rule set is a built-in one; file only names it in faults. The error lists all faults
// (input.Faults), and then there is no bout.
func ReadBout(file string, data []byte) (*Bout, error) {
	b, _, faults := readBout(file, data, nil)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	return b, nil
}

// loader gives the rule set in a file of the bout's folder.
type loader func(name string) (*RuleSet, error)

// readBout gives what could be read along with the faults; b.RuleSet is nil when there is none to check rows against.
func readBout(file string, data []byte, load loader) (*Bout, timing, input.Faults) {
	doc, _ := input.ParseYAML(file, data)
	m := doc.Root()
	m.Known("format", "id", "date", "coder", "red", "blue", "rules", "area", "level", "looked_for", "corners", "coded", "usual", "kind",
		"ended", "end", "invented", "clock", "numbers", "bells")
	m.Word("format", BoutFormat)
	b := &Bout{
		ID: m.Word("id"), Date: readDate(m), Coder: m.TextOr("coder", ""),
		Fighters: [2]Fighter{readFighter(doc, "red"), readFighter(doc, "blue")},
		Level:    m.WordOr("level", "events", "events", "exchanges"), LookedFor: readLookedFor(m), Corners: readCorners(m),
		Usual: m.BoolOr("usual", true), Kind: m.WordOr("kind", "bout", "bout", "sparring"), Invented: m.BoolOr("invented", false),
	}
	if b.Fighters[0].ID == b.Fighters[1].ID && b.Fighters[0].ID != "" {
		m.Fault("blue", "both corners are "+input.Scalar(b.Fighters[0].ID), "two different fighters", "")
	}
	other := b.readRules(m, load)
	b.readTimes(m)
	t := readTiming(m, b)
	faults := doc.Faults()
	for _, f := range other {
		faults.Add(f)
	}
	return b, t, faults
}

// longest is the longest clock in a bout whose rule set could not be read.
const longest = math.MaxUint16 * 60e6

// bell gives the length of a round, µs.
func (b *Bout) bell() int64 {
	if b.RuleSet == nil {
		return longest
	}
	return int64(b.RuleSet.RoundSeconds) * 1e6
}
