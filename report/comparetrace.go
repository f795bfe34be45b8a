package report

import (
	"fmt"
	"math"

	"whatbout/fighter"
	"whatbout/report/chart"
	"whatbout/study"
)

// fewest bouts that a stretch of time is shown for, and least share of time at which a range is.
const (
	fewestBouts = 20
	leastShare  = .02
)

// zoneNames are the fighter's own ranges.
var zoneNames = [fighter.NumZones]string{"out of range", "at kicking range", "at long range", "in the pocket", "in the clinch", "on top", "on the bottom"}

// ribbons is the share of time by range over the rounds.
func (c *Comparison) ribbons(i int) chart.Figure {
	var panels []chart.RibbonPanel
	for z := range fighter.NumZones {
		panel := chart.RibbonPanel{Name: title(zoneNames[z])}
		most := 0.0
		for _, at := range []int{0, i} {
			line := chart.RibbonLine{Side: side(at)}
			for _, b := range c.Watched.Plans[at].Bins {
				if b.Bouts >= fewestBouts {
					x := b.Zones[z]
					line.Points = append(line.Points, chart.RibbonPoint{Round: b.Round, From: b.From, To: b.To, Mean: x.Mean, Low: x.Low, High: x.High})
					most = max(most, x.Mean)
				}
			}
			panel.Lines = append(panel.Lines, line)
		}
		if most >= leastShare {
			panels = append(panels, panel)
		}
	}
	rounds, seconds := roundsOf(c.Watched)
	return chart.NewFigure(fmt.Sprintf("range-%d", i), fmt.Sprintf("Where %s's own range is, quarter minute by quarter minute", title(c.Fighter)), c.rangeFinding(i),
		fmt.Sprintf("Broken line: %s; whole line: %s. Each ribbon holds the middle %.0f %% of %d possible truths, the luck of their bouts taken out; where there is none, the truths differ no more than luck does. Bouts that have ended no longer count.",
			quotedName(c.Plans[0].Name), quotedName(c.Plans[i].Name), 100*c.Watched.Level, c.Watched.Draws), c.rangeTable(i),
		func(w float64) string { return chart.Ribbons(w, rounds, seconds, panels) })
}

// roundsOf gives the rounds and their length, s.
func roundsOf(t *study.TraceResult) (rounds int, seconds float64) {
	for _, b := range t.Plans[0].Bins {
		rounds, seconds = max(rounds, b.Round), max(seconds, b.To)
	}
	return rounds, seconds
}

// rangeFinding names the range whose share of the time differs most, of those that the whole comparison tells from none, and by how much in
// the first and in the last round seen.
func (c *Comparison) rangeFinding(i int) string {
	best, most := fighter.Zone(0), 0.0
	for z := range fighter.NumZones {
		d := c.find(c.Plans[i].Name, "time_share_"+z.String())
		if shift := math.Abs(c.rangeShift(i, z, 0)); isTold(d) && shift > most {
			best, most = z, shift
		}
	}
	if most == 0 {
		return "In no range does the share of the time differ by more than these bouts can tell from none."
	}
	last := c.lastRound(i)
	words := fmt.Sprintf("The time %s changes most: %s points of 100 in the first round", zoneNames[best], chart.Signed(100*c.rangeShift(i, best, 1), 1))
	if last > 1 {
		words += fmt.Sprintf(", %s in the last", chart.Signed(100*c.rangeShift(i, best, last), 1))
	}
	return words + "."
}

// lastRound is the last that enough bouts fought under both plans.
func (c *Comparison) lastRound(i int) (round int) {
	for b, x := range c.Watched.Plans[i].Bins {
		if min(x.Bouts, c.Watched.Plans[0].Bins[b].Bouts) >= fewestBouts {
			round = x.Round
		}
	}
	return round
}

// rangeShift is by how much the mean share of a range differs over a round's stretches, or over all for round 0.
func (c *Comparison) rangeShift(i int, z fighter.Zone, round int) float64 {
	sum, n := 0.0, 0.0
	for b, x := range c.Watched.Plans[i].Bins {
		base := c.Watched.Plans[0].Bins[b]
		if (round == 0 || x.Round == round) && min(x.Bouts, base.Bouts) >= fewestBouts {
			sum, n = sum+x.Zones[z].Mean-base.Zones[z].Mean, n+1
		}
	}
	return sum / max(n, 1)
}

func (c *Comparison) rangeTable(i int) chart.Table {
	t := chart.Table{Head: []string{"plan", "round", "from s", "to s", "bouts"}}
	for z := range fighter.NumZones {
		t.Head = append(t.Head, zoneNames[z]+" %", "low", "high")
	}
	for _, at := range []int{0, i} {
		for _, b := range c.Watched.Plans[at].Bins {
			row := []string{c.Plans[at].Name, fmt.Sprint(b.Round), chart.Plain(b.From, 0), chart.Plain(b.To, 0), fmt.Sprint(b.Bouts)}
			for _, x := range b.Zones {
				row = append(row, chart.Plain(100*x.Mean, 1), chart.Plain(100*x.Low, 1), chart.Plain(100*x.High, 1))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// floor is where the fighter stood.
func (c *Comparison) floor(i int) chart.Figure {
	area := floorArea(c.Watched)
	var maps []chart.FloorMap
	for _, at := range []int{0, i} {
		maps = append(maps, chart.FloorMap{Label: title(c.Plans[at].Name), Side: side(at), Shares: c.Watched.Plans[at].Floor[0]})
	}
	a, b := maps[0].FromMiddle(area), maps[1].FromMiddle(area)
	finding := fmt.Sprintf("%s stands %.1f m from the middle on average %s, %.1f m %s; within 1.5 m of it %.0f %% and %.0f %% of the time.", title(c.Fighter), a, quoted(c.Plans[0].Name), b,
		quoted(c.Plans[i].Name), 100*maps[0].Within(area, 1.5), 100*maps[1].Within(area, 1.5))
	if a == b {
		finding = title(c.Fighter) + " stands in the same places under both."
	}
	return chart.NewFigure(fmt.Sprintf("floor-%d", i), fmt.Sprintf("Where %s stands", title(c.Fighter)), finding,
		"The area of a mark is the share of the time spent in that half metre; the cross is the middle, the double line the edge. Both start a round on the level line through the middle, a metre either side.", floorTable(c, i),
		func(w float64) string { return chart.Floor(w, area, maps) })
}

func floorArea(t *study.TraceResult) chart.FloorArea {
	sides := t.Area.Sides
	switch t.Area.Shape {
	case "circle":
		sides = 0
	case "square":
		sides = 4
	}
	return chart.FloorArea{Sides: sides, Diameter: t.Area.Diameter, Cell: float64(study.FloorCell) / 1000, Columns: t.Columns}
}

// floorTable lists rings about the middle: a table of every cell says nothing to a reader. The cells are in the maps.
func floorTable(c *Comparison, i int) chart.Table {
	area := floorArea(c.Watched)
	t := chart.Table{Head: []string{"metres from the middle", c.Plans[0].Name + " %", c.Plans[i].Name + " %"}}
	for from := 0.0; from < area.Diameter/2+.5; from += .5 {
		row := []string{fmt.Sprintf("%.1f to %.1f", from, from+.5)}
		for _, at := range []int{0, i} {
			m := chart.FloorMap{Shares: c.Watched.Plans[at].Floor[0]}
			below := 0.0
			if from > 0 {
				below = m.Within(area, from)
			}
			row = append(row, chart.Plain(100*(m.Within(area, from+.5)-below), 1))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
