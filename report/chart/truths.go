package chart

import (
	"fmt"
	"math"
)

// TruthRow is in how many of twenty possible truths something holds, with one standard error of that.
type TruthRow struct {
	Name, Note   string
	Share, Error float64 // of 1
}

// ofTwenty is how many truths a row shows.
const ofTwenty = 20

// Truths draws twenty marks a row: full where it holds, open as far as one standard error more would reach, small for the rest.
func Truths(width float64, rows []TruthRow) string {
	c := &canvas{width: width}
	y, words := 0.0, "Of twenty possible truths: "
	for i, r := range rows {
		n, more := TruthsOf(r.Share), TruthsOf(r.Share+r.Error)
		note := r.Note
		if note == "" {
			note = fmt.Sprintf("%d of %d", n, ofTwenty)
		}
		c.text(width, y+14, "end", "num small soft", note)
		c.text(0, y+14, "start", "strong", short(r.Name, width-widthOf(note)-8))
		each := min((width-8)/ofTwenty, 22)
		for k := range ofTwenty {
			x, at := 6+each*(float64(k)+.5), y+32.0
			switch {
			case k < n:
				c.circle(x, at, 5, "full-plan", 1)
			case k < more:
				c.circle(x, at, 4.6, "open-plan", 1.5)
			default:
				c.circle(x, at, 1.4, "open", 1)
			}
		}
		y += 52
		if i > 0 {
			words += "; "
		}
		words += r.Name + " " + note
	}
	c.height = y - 6
	return c.done(words + ".")
}

// TruthsOf is a share as so many of twenty.
func TruthsOf(share float64) int { return min(max(int(math.Round(ofTwenty*share)), 0), ofTwenty) }
