package report

import (
	"fmt"
	"strings"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/tape"
)

// BehindCoarse is what tape coded by exchanges adds to a figure.
type BehindCoarse struct {
	Bouts     []string `json:"bouts"`
	Count     float64  `json:"count"`     // what the profile says was seen, beside rows of every act
	Exchanges float64  `json:"exchanges"` // by weight, that it stands against
	Hits      float64  `json:"clean_hits"`
	Seconds   float64  `json:"seconds"` // sampled in the zone of a rate
	Text      string   `json:"text"`
}

// coarse adds the rows of tape coded by exchanges.
func (b *Behind) coarse(r *calibrate.CoarseRows) {
	if r == nil || len(r.Bouts) == 0 {
		return
	}
	b.Coarse = &BehindCoarse{Bouts: []string{}, Count: r.Count, Exchanges: r.Exchanges, Hits: r.Hits, Seconds: r.Seconds}
	for _, bout := range r.Bouts {
		b.Coarse.Bouts = append(b.Coarse.Bouts, bout.ID)
	}
	b.Coarse.Text = b.told(r)
	for _, s := range r.Sightings {
		b.Rows = append(b.Rows, b.coarseRow(r, s))
	}
}

// told says what the exchanges add up to, and what they leave open.
func (b *Behind) told(r *calibrate.CoarseRows) string {
	switch r.Tells {
	case calibrate.TellsRate:
		if r.Exchanges == 0 {
			return fmt.Sprintf("no exchange was led with it in any range; %.1f sampled seconds in this one", r.Seconds)
		}
		return fmt.Sprintf("%s of %s exchanges led with it in any range, in %.1f sampled seconds in this one; the rest is taken for other figures, or for acts that followed a step or a feint",
			short(r.Count), weighed(r.Exchanges), r.Seconds)
	case calibrate.TellsBack:
		return fmt.Sprintf("ground was given in %s of %s exchanges; in which way is not coded: the same rows move all figures of stepping back", weighed(r.Count), weighed(r.Exchanges))
	case calibrate.TellsSkill:
		return fmt.Sprintf("%s clean hits in %s exchanges; of which strikes is not coded: this figure is moved through the total of all", weighed(r.Hits), weighed(r.Exchanges))
	case calibrate.TellsTable:
		return fmt.Sprintf("no row of its own: its weight stays, and its share moves only through the total of its table, in which %s is moved", r.Through)
	}
	return "nothing: exchanges do not tell of this figure"
}

func (b *Behind) coarseRow(r *calibrate.CoarseRows, s calibrate.CoarseSighting) BehindRow {
	round, clock := s.When()
	row := BehindRow{Bout: s.Bout.ID, Coding: s.Coding + ".exchanges", Round: round, Clock: ClockOf(clock), Counted: CountedOccasion, Weight: s.Weight, bout: s.Bout, at: clock}
	if s.Exchange == nil {
		row.Coding, row.Line, row.Counted, row.Seconds = s.Coding+".samples", s.Sample.Line, CountedExposure, s.Seconds
		row.Did = "sampled: " + sampledWords(s)
		return row
	}
	if s.Hit {
		row.Counted = CountedSuccess
	}
	row.Line, row.About = s.Exchange.Line, exchangeWords(s.Exchange)
	switch r.Tells {
	case calibrate.TellsRate:
		row.Did = plain(s.Exchange.First.String())
		row.About = fmt.Sprintf("led; sampled at %s: %s", ClockOf(s.Sample.Clock), sampledWords(s))
	case calibrate.TellsBack:
		if row.Did = "nothing"; s.Hit {
			row.Did = "gave ground"
		}
	case calibrate.TellsSkill:
		row.Hits, row.Did = s.Hits, fmt.Sprintf("%d clean hits", s.Hits)
		if s.Hits == 1 {
			row.Did = "1 clean hit"
		}
		if b.met() {
			row.Did += " taken"
		}
	}
	return row
}

// sampledWords says the range of a sample, and the fighter's own where reaches make it another.
func sampledWords(s calibrate.CoarseSighting) string {
	out := plain(s.Sample.Range.String())
	if own := s.Own.String(); s.Own < fighter.Clinch && own != s.Sample.Range.String() {
		out += ", own " + own
	}
	return out
}

// exchangeWords says how an exchange began.
func exchangeWords(x *tape.Exchange) string {
	first := "exchange"
	if x.First != tape.NoAct {
		first += " begun with " + plain(x.First.String())
	}
	if x.Led != tape.NoCorner {
		first += " by " + x.Led.String()
	}
	return first
}

// unlisted reports whether a row is left out of text, unless all is asked for, and of cues: of choices the occasions that were not taken.
func (b *Behind) unlisted(r *BehindRow) bool {
	return r.Counted == CountedOccasion && (b.Law == fighter.Weight || strings.HasSuffix(r.Coding, ".exchanges") && b.Law == fighter.Rate)
}
