package tape

import (
	"fmt"
	"slices"
	"strings"

	"whatbout/internal/input"
)

var (
	targets  = []Value{NoValue, Head, Body, Leg}
	noValue  = []Value{NoValue}
	noResult = []Result{ResultUncoded, ResultUnknown}
)

// values gives what a row of the act may have as its value. A state row without a value says nothing, so it needs one; of an
// act the value may be unknown.
func (a Act) values() []Value {
	switch {
	case a == Circle:
		return []Value{NoValue, Left, Right}
	case a == LowKick:
		return []Value{NoValue, Inside, Outside, Calf}
	case a == BodyKick:
		return []Value{NoValue, Body}
	case a == HighKick:
		return []Value{NoValue, Head}
	case a.IsStrike():
		return targets
	case a == StateRange:
		return []Value{Out, Kicking, Long, Pocket, Clinch, Ground, Boxing}
	case a == StateCentre:
		return []Value{Red, Blue, Even}
	case a == StateFence, a == StateTop:
		return []Value{Red, Blue, None}
	case a == StateStance:
		return []Value{Orthodox, Southpaw}
	case a == StateLegCaught:
		return []Value{NoValue, Yes, No}
	case a == StateSeen:
		return []Value{Yes, No}
	}
	return noValue
}

// results gives how the act may end.
func (a Act) results() []Result {
	switch {
	case a.IsStrike():
		return []Result{ResultUncoded, ResultUnknown, Missed, Blocked, Partial, Clean, Hurt, Knockdown, Stoppage}
	case a.IsTakedown():
		return []Result{ResultUncoded, ResultUnknown, TakenDown, Stuffed}
	case a == GetUp, a == Submission, a == HandFight, a == TieUp, a == Break:
		return []Result{ResultUncoded, ResultUnknown, Made, Failed}
	case a.IsState():
		return []Result{ResultUncoded}
	}
	return noResult
}

// fits says whether a defence can be what the other did about the act: the answers to a feint belong to feints alone.
func (d Defence) fits(a Act) bool {
	switch {
	case d == DefenceUncoded:
		return true
	case a.IsState():
		return false
	case d == DefenceUnknown, d == DefenceNone:
		return true
	}
	return a.IsFeint() == (d >= Flinch)
}

// checker holds the rows of one coding against each other's words, the bout and its rule set.
type checker struct {
	file   string
	bout   *Bout
	faults input.Faults
}

func (c *checker) fault(row *Row, what, want, hint string) {
	c.faults.Add(input.Fault{File: c.file, Line: row.Line, What: what, Want: want, Hint: hint})
}

// Check holds rows against the bout: words that do not fit the act, times past the bell or outside the coded time, rows out
// of order, acts that the rule set forbids, notes that a file cannot keep. bout.RuleSet must be set. file only names the
// file in faults; a row that was not read from one counts as if it were written. The error lists all faults (input.Faults).
func (b *Bout) Check(file string, rows []Row) error {
	c := b.checker(file)
	if len(rows) == 0 {
		c.faults.Add(input.Fault{File: file, What: "the coding has no rows", Want: "at least one"})
	}
	for i := range rows {
		r := rows[i]
		if r.Line == 0 {
			r.Line = i + 2 // after the header
		}
		if i > 0 && r.before(&rows[i-1]) {
			c.fault(&r, lateRow, lateWant, "sort them")
		}
		c.row(&r)
	}
	return c.faults.Err()
}

func (b *Bout) checker(file string) *checker {
	if b.RuleSet == nil {
		panic("tape: Check of a bout without a rule set")
	}
	return &checker{file: file, bout: b}
}

func (c *checker) keeps(r *Row) {
	if r.Round == 0 || r.Clock < 0 || !keepable(r.Note) {
		c.fault(r, "a row that no file can keep", "round 1 or more, a clock of 0 or more, a note in UTF-8 without carriage returns and control characters", "")
	}
}

func (c *checker) row(r *Row) {
	c.keeps(r)
	c.corner(r)
	c.words(r)
	c.time(r)
	move := MoveOf(r.Act, r.Value)
	if !r.Act.IsState() && move != NoMove && !c.bout.RuleSet.Allowed[move] {
		c.fault(r, fmt.Sprintf("%s under %s", move, c.bout.RuleSet.Name), "an act that the rule set allows", "")
	}
}

// corner: a state of the pair needs none and the referee's break has none; everything else is somebody's.
func (c *checker) corner(r *Row) {
	pair := r.Act.IsState() && r.Act != StateStance || r.Act == Break
	if r.Corner == NoCorner && !pair {
		c.fault(r, r.Act.String()+" without a corner", "red or blue", "")
	}
}

func (c *checker) words(r *Row) {
	if want := r.Act.values(); !slices.Contains(want, r.Value) {
		c.fault(r, fmt.Sprintf("value %q does not fit %s", r.Value, r.Act), list(want), "")
	}
	if want := r.Act.results(); !slices.Contains(want, r.Result) {
		c.fault(r, fmt.Sprintf("result %q does not fit %s", r.Result, r.Act), list(want), "")
	}
	if !r.Defence.fits(r.Act) {
		c.fault(r, fmt.Sprintf("defence %q does not fit %s", r.Defence, r.Act), defenceWant(r.Act), defenceHint(r))
	}
	if r.How != HowUncoded && !r.Act.IsAttack() {
		c.fault(r, fmt.Sprintf("how %q does not fit %s", r.How, r.Act), "how for strikes and takedowns only", "")
	}
	if r.Limb != LimbUncoded && r.Act.IsState() {
		c.fault(r, fmt.Sprintf("limb %q does not fit %s", r.Limb, r.Act), "nothing", "")
	}
}

func defenceWant(a Act) string {
	switch {
	case a.IsState():
		return "nothing"
	case a.IsFeint():
		return "none, unknown, flinch, gave_guard, gave_ground or struck"
	}
	return "a defence that is no answer to a feint"
}

// defenceHint: what meets a real attack and a feint alike has two names.
func defenceHint(r *Row) string {
	switch {
	case r.Act.IsState():
		return ""
	case r.Act.IsFeint() && r.Defence == DefenceStepBack:
		return "write gave_ground"
	case r.Act.IsFeint() && r.Defence == StrikeFirst:
		return "write struck"
	case r.Act.IsFeint():
		return "write gave_guard"
	case r.Defence == GaveGround:
		return "write step_back"
	case r.Defence == Struck:
		return "write strike_first"
	case r.Defence == GaveGuard:
		return "write guard"
	}
	return ""
}

func (c *checker) time(r *Row) {
	rules, ended := c.bout.RuleSet, &c.bout.Ended
	switch {
	case int(r.Round) > rules.Rounds:
		c.fault(r, fmt.Sprintf("round %d", r.Round), fmt.Sprintf("1 to %d under %s", rules.Rounds, rules.Name), "")
	case ended.Round > 0 && r.Round > ended.Round:
		c.fault(r, fmt.Sprintf("round %d after the bout has ended", r.Round), fmt.Sprintf("1 to %d", ended.Round), "")
	case r.Clock > int64(rules.RoundSeconds)*1e6:
		c.fault(r, fmt.Sprintf("the clock %s is past the bell", FormatClock(r.Clock)), "at most "+FormatClock(int64(rules.RoundSeconds)*1e6), hoursHint(r.Clock))
	case !c.bout.Covers(r.Round, r.Clock):
		c.fault(r, fmt.Sprintf("round %d at %s is not among the coded time", r.Round, FormatClock(r.Clock)), "", "widen coded in "+boutFile)
	}
}

// hoursHint: spreadsheets take a typed 1:05 for hours and minutes.
func hoursHint(clock int64) string {
	if clock >= 3600e6 && clock%60e6 == 0 {
		return "if minutes and seconds were typed, give the column the format mm:ss.0 or text"
	}
	return ""
}

func list[T fmt.Stringer](words []T) string {
	var out []string
	for _, w := range words {
		if s := w.String(); s != "" {
			out = append(out, s)
		}
	}
	switch {
	case len(out) == 0:
		return "nothing"
	case len(out) < len(words):
		return "nothing or one of " + strings.Join(out, ", ")
	}
	return "one of " + strings.Join(out, ", ")
}
