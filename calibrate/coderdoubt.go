package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// CoderDoubt is what a coder is taken to do wrong where no second coding tells, as shares from 0 to .7. The zero value is a coder who errs
// nowhere, such as the engine. That a share is a guess is part of it: it is taken to hold within a factor of three either way.
type CoderDoubt struct {
	Missed   [tape.NumGroups]float64 // of the events of a group of acts: not coded
	Extra    float64                 // of what was coded: did not happen
	Confused float64                 // of what was coded: called another act of its group
	Wrong    float64                 // of results, bites and defences: coded as another
}

// The usual doubt beside [assumedMiss] and [assumedConfused]: judgement, as no study of coders of fights was found.
const (
	assumedExtra = .02
	assumedWrong = .05
)

// UsualCoder is a careful coder at full speed: judgement.
func UsualCoder() CoderDoubt {
	c := CoderDoubt{Extra: assumedExtra, Confused: assumedConfused, Wrong: assumedWrong}
	for g, p := range assumedMiss {
		c.Missed[g] = p
	}
	return c
}

// orUsual takes the usual shares for those that are none: where codings tell, a share starts from there and not from certainty. Nothing is
// taken to be made up that is not said to be.
func (c CoderDoubt) orUsual() CoderDoubt {
	usual := UsualCoder()
	for g := range c.Missed {
		c.Missed[g] = cmp.Or(c.Missed[g], usual.Missed[g])
	}
	c.Confused, c.Wrong = cmp.Or(c.Confused, usual.Confused), cmp.Or(c.Wrong, usual.Wrong)
	return c
}

const mostDoubt = .7

// ReadCoderDoubt reads "usual", "exact", or shares in percent that replace the usual ones, such as "missed=5,extra=0,confused=3,wrong=5"; missed
// holds for every group, and a group's own name (feints=20) for that one. The error says what is wrong with the first part that is.
func ReadCoderDoubt(text string) (CoderDoubt, error) {
	switch text {
	case "exact":
		return CoderDoubt{}, nil
	case "usual":
		return UsualCoder(), nil
	}
	c := UsualCoder()
	for part := range strings.SplitSeq(text, ",") {
		name, number, _ := strings.Cut(strings.TrimSpace(part), "=")
		x, err := strconv.ParseFloat(strings.TrimSuffix(number, "%"), 64)
		if err != nil || !(x >= 0 && x <= 100*mostDoubt) {
			return c, fmt.Errorf("coder %.40q: expected usual, exact, or shares from 0 to %.0f %%, such as missed=5,extra=2,confused=5,wrong=5", part, 100*mostDoubt)
		}
		if !c.put(name, x/100) {
			return c, fmt.Errorf("coder %.40q: expected missed, extra, confused, wrong or a group of acts such as feints", part)
		}
	}
	return c, nil
}

func (c *CoderDoubt) put(name string, x float64) bool {
	switch name {
	case "missed":
		for g := range assumedMiss {
			c.Missed[g] = x
		}
	case "extra":
		c.Extra = x
	case "confused":
		c.Confused = x
	case "wrong":
		c.Wrong = x
	default:
		g := groupNamed(name)
		if g == tape.NumGroups {
			return false
		}
		c.Missed[g] = x
	}
	return true
}

// Text is what [ReadCoderDoubt] reads back, of shares that are whole per cents to twelve digits; "" of a coder who errs nowhere.
func (c CoderDoubt) Text() string {
	switch c {
	case CoderDoubt{}:
		return ""
	case UsualCoder():
		return "usual"
	}
	percent := func(name string, p float64) string { return fmt.Sprintf("%s=%.12g", name, 100*p) }
	var parts []string
	for _, g := range actGroups {
		if _, assumed := assumedMiss[g]; assumed {
			parts = append(parts, percent(g.String(), c.Missed[g]))
		}
	}
	return strings.Join(append(parts, percent("extra", c.Extra), percent("confused", c.Confused), percent("wrong", c.Wrong)), ",")
}

func (c CoderDoubt) String() string {
	if c == (CoderDoubt{}) {
		return "none"
	}
	lo, hi := 1.0, 0.0
	for g := range assumedMiss {
		lo, hi = min(lo, c.Missed[g]), max(hi, c.Missed[g])
	}
	missed := fmt.Sprintf("%.0f %%", 100*lo)
	if lo < hi {
		missed = fmt.Sprintf("%.0f to %.0f %% by group (strikes %.0f %%, feints %.0f %%)", 100*lo, 100*hi, 100*c.Missed[tape.GroupStrikes], 100*c.Missed[tape.GroupFeints])
	}
	return fmt.Sprintf("missed %s, made up %.0f %%, called another act %.0f %%, results and bites wrong %.0f %%", missed, 100*c.Extra, 100*c.Confused, 100*c.Wrong)
}

// asBeta is a share within a factor of three either way (95 %) as a beta: with a log-normal's squared coefficient of variation,
// exp((log 3/1.96)²) - 1. p is above 0 and at most .7.
func asBeta(p float64) infer.Beta {
	cv2 := math.Exp(math.Pow(math.Log(3)/1.96, 2)) - 1
	n := (1-p)/(p*cv2) - 1
	return infer.Beta{A: p * n, B: (1 - p) * n}
}
