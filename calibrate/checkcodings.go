package calibrate

import (
	"fmt"
	"os"
	"path/filepath"

	"whatbout/internal/input"
	"whatbout/tape"
)

// checkCodings finds what no single coding shows to be wrong, or what only calibration needs: a coding that never states a range though it
// was looked for, one of which nothing is in sight or in which sight is lost twice at a time, and codings of one bout of which one stops earlier.
func checkCodings(dir string, c *tape.Codings) error {
	var faults input.Faults
	add := func(name string, line int, what, want, hint string) {
		faults.Add(input.Fault{File: fileOf(dir, name), Line: line, What: what, Want: want, Hint: hint})
	}
	for _, one := range c.Full {
		if one.Bout.LookedFor[tape.GroupRange] && !statesRange(one) && len(one.Rows) > 0 {
			add(one.Name, one.Rows[0].Line, "the coding never states a range", "at least one row range from here on",
				"without range there are no rates; if nobody looked for it, leave range out of looked_for")
		}
		for _, row := range lostTwice(one) {
			add(one.Name, row.Line, "sight is lost here, and was lost already", "a row seen,yes between two rows seen,no of a round", "which of the two spans is right cannot be told")
		}
		if row := nothingInSight(one); row != nil {
			add(one.Name, row.Line, "no coded moment of the bout is in sight", "a row seen,yes where both can be seen again", "a bout of which nothing is seen tells nothing; leave it out")
		}
		for _, other := range c.Full {
			if round, n := unmatched(one, other); n >= manyActs {
				add(one.Name, lastLine(one), fmt.Sprintf("the coding ends here, but %s has %d more acts, to round %d", other.Name, n, round),
					"codings of the same stretch", "what neither should count is left out by coded in bout.yaml")
			}
		}
	}
	for _, one := range c.Coarse {
		for _, other := range c.Coarse {
			if a, b := lastRound(one), lastRound(other); a > 0 && a < b {
				add(coarseFile(one), coarseLine(one), fmt.Sprintf("the coding ends in round %d, but %s goes on to round %d", a, other.Name, b),
					"codings of the same rounds", "what neither should count is left out by coded in bout.yaml")
			}
		}
	}
	return faults.Err()
}

// lostTwice lists the rows that say of somebody out of sight, and of nobody else, that they are.
func lostTwice(c *tape.Coding) (out []*tape.Row) {
	var dark [2]bool
	for i := range c.Rows {
		row := &c.Rows[i]
		if i == 0 || row.Round != c.Rows[i-1].Round {
			dark = [2]bool{}
		}
		if row.Act != tape.StateSeen {
			continue
		}
		news := row.Value == tape.Yes
		for corner := range dark {
			if row.Corner == tape.NoCorner || int(row.Corner) == corner {
				news = news || !dark[corner]
				dark[corner] = row.Value == tape.No
			}
		}
		if !news {
			out = append(out, row)
		}
	}
	return out
}

// nothingInSight gives the first row that says so of a coding without light.
func nothingInSight(c *tape.Coding) *tape.Row {
	s := &source{coding: c, bout: c.Bout, events: c.Events()}
	var first *tape.Row
	for _, l := range lights(s) {
		if l.seconds() > 0 {
			return nil
		}
	}
	for i := range c.Rows {
		if row := &c.Rows[i]; first == nil && row.Act == tape.StateSeen && row.Value == tape.No {
			first = row
		}
	}
	return first
}

// manyActs is how many acts nobody misses one after the other: who sees one in two would with chance 1/1024.
const manyActs = 10

func statesRange(c *tape.Coding) bool {
	for i := range c.Rows {
		if c.Rows[i].Act == tape.StateRange {
			return true
		}
	}
	return false
}

// unmatched counts the other's acts after the last row of a coding, and gives the round of the last.
func unmatched(c, other *tape.Coding) (round uint8, n int) {
	if len(c.Rows) == 0 {
		return 0, 0
	}
	last := &c.Rows[len(c.Rows)-1]
	for i := range other.Rows {
		r := &other.Rows[i]
		if r.IsAct() && (r.Round > last.Round || r.Round == last.Round && r.Clock > last.Clock) {
			round, n = r.Round, n+1
		}
	}
	return round, n
}

func lastLine(c *tape.Coding) (line int) {
	for i := range c.Rows {
		line = max(line, c.Rows[i].Line)
	}
	return line
}

func lastRound(c *tape.Coarse) (round uint8) {
	for i := range c.Samples {
		round = max(round, c.Samples[i].Round)
	}
	for i := range c.Exchanges {
		round = max(round, c.Exchanges[i].Round)
	}
	return round
}

func coarseFile(c *tape.Coarse) string {
	if c.Samples != nil {
		return c.Name + ".samples"
	}
	return c.Name + ".exchanges"
}

func coarseLine(c *tape.Coarse) (line int) {
	for i := range c.Samples {
		line = max(line, c.Samples[i].Line)
	}
	for i := range c.Exchanges {
		if c.Samples == nil {
			line = max(line, c.Exchanges[i].Line)
		}
	}
	return line
}

// fileOf finds the file of a coding, which is known without its ending.
func fileOf(dir, name string) string {
	for _, ending := range []string{".csv", ".tsv", ".xlsx"} {
		if _, err := os.Stat(filepath.Join(dir, name+ending)); err == nil {
			return filepath.Join(dir, name+ending)
		}
	}
	return filepath.Join(dir, name)
}
