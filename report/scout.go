package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"whatbout/calibrate"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// Clip is where on the tape to look.
type Clip struct {
	Bout  string `json:"bout"`
	Round uint8  `json:"round"`
	Clock string `json:"clock"` // m:ss.s since the bell
	At    int64  `json:"-"`     // the same, µs
}

// Tendency is one thing that a fighter does in one situation, beside what the population does there.
type Tendency struct {
	Situation       string          `json:"situation"`
	Does            string          `json:"does"`
	Unit            string          `json:"unit"` // of "of": Moments or Minutes
	Count           float64         `json:"count"`
	Of              float64         `json:"of"`
	Share           infer.Interval  `json:"share"` // or rate per minute
	PopulationCount float64         `json:"population_count"`
	PopulationOf    float64         `json:"population_of"`
	Population      float64         `json:"population"`
	Difference      *infer.Interval `json:"difference"` // null where the population has nothing to compare with
	Compared        bool            `json:"compared"`
	P               float64         `json:"p"`
	Q               float64         `json:"q"`
	Differs         bool            `json:"differs"` // q is at most the false discovery rate
	Clips           []Clip          `json:"clips"`
}

// The units.
const (
	Moments = "moments"
	Minutes = "minutes on the feet"
)

// ScoutBout is a bout that was scouted.
type ScoutBout struct {
	ID       string     `json:"id"`
	Coding   string     `json:"coding"`
	Opponent string     `json:"opponent"`
	Usual    bool       `json:"usual"`
	Kind     string     `json:"kind"`
	Invented bool       `json:"invented"`
	Bout     *tape.Bout `json:"-"` // for the cues
}

// Scout is what tape shows of a fighter.
type Scout struct {
	Schema             string      `json:"schema"`
	Version            string      `json:"version"`
	Fighter            string      `json:"fighter"`
	Inputs             []Input     `json:"inputs"`
	Bouts              []ScoutBout `json:"bouts"`
	PopulationBouts    int         `json:"population_bouts"`
	Level              float64     `json:"level"`
	FalseDiscoveryRate float64     `json:"false_discovery_rate"`
	Situations         int         `json:"situations"`
	Looked             int         `json:"looked_at"`
	Tested             int         `json:"compared"`
	Tendencies         []Tendency  `json:"tendencies"`
	// Places say where rates hang on more than the range.
	Places []calibrate.PlaceRate `json:"places"`
	Notes  []string              `json:"notes"`

	Limit int `json:"-"` // tendencies in text and cues; 0: all
}

// JSON writes all of it as one object, numbers to six digits.
func (s *Scout) JSON(w io.Writer) error {
	copied := *s
	copied.Tendencies = nil
	for _, t := range s.Tendencies {
		t.Of, t.PopulationOf, t.Population, t.P, t.Q, t.Share = six(t.Of), six(t.PopulationOf), six(t.Population), six(t.P), six(t.Q), sixes(t.Share)
		if t.Difference != nil {
			d := sixes(*t.Difference)
			t.Difference = &d
		}
		copied.Tendencies = append(copied.Tendencies, t)
	}
	copied.Places = []calibrate.PlaceRate{}
	for _, p := range s.Places {
		p.Acts, p.Minutes, p.Expected, p.Q = six(p.Acts), six(p.Minutes), six(p.Expected), six(p.Q)
		p.Ratio.Interval, p.Ratio.Z, p.Ratio.P, p.Ratio.Expected = sixes(p.Ratio.Interval), six(p.Ratio.Z), six(p.Ratio.P), six(p.Ratio.Expected)
		copied.Places = append(copied.Places, p)
	}
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	return out.Encode(&copied)
}

func sixes(i infer.Interval) infer.Interval {
	i.Low, i.High, i.Centre, i.Count = six(i.Low), six(i.High), six(i.Centre), six(i.Count)
	return i
}

var scoutColumns = []string{"situation", "does", "unit", "count", "of", "share", "low", "high", "population_count", "population_of", "population",
	"difference", "difference_low", "difference_high", "p", "q", "differs", "clips"}

// CSV writes one row a tendency (RFC 4180); clips are joined by "; ".
func (s *Scout) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	rows := [][]string{scoutColumns}
	for i := range s.Tendencies {
		t := &s.Tendencies[i]
		row := []string{t.Situation, t.Does, t.Unit}
		row = append(row, numbers(t.Count, t.Of, t.Share.Centre, t.Share.Low, t.Share.High, t.PopulationCount, t.PopulationOf, t.Population)...)
		if t.Difference == nil {
			row = append(row, "", "", "")
		} else {
			row = append(row, numbers(t.Difference.Centre, t.Difference.Low, t.Difference.High)...)
		}
		row = append(row, numbers(t.P, t.Q)...)
		rows = append(rows, append(row, strconv.FormatBool(t.Differs), clipList(t.Clips)))
	}
	return out.WriteAll(rows)
}

func numbers(xs ...float64) (out []string) {
	for _, x := range xs {
		out = append(out, number(x))
	}
	return out
}

func clipList(clips []Clip) string {
	var out []string
	for _, c := range clips {
		out = append(out, fmt.Sprintf("%s R%d %s", c.Bout, c.Round, c.Clock))
	}
	return strings.Join(out, "; ")
}

// clipLine names the first clips and how many more there are: a bout and a round are named when they begin.
func clipLine(clips []Clip, most int) string {
	var b strings.Builder
	var last Clip
	for i, c := range clips[:min(most, len(clips))] {
		switch {
		case c.Bout != last.Bout:
			fmt.Fprintf(&b, "; %s R%d %s", c.Bout, c.Round, c.Clock)
		case c.Round != last.Round:
			fmt.Fprintf(&b, ", R%d %s", c.Round, c.Clock)
		default:
			fmt.Fprintf(&b, ", %s", c.Clock)
		}
		last = clips[i]
	}
	if more := len(clips) - most; more > 0 {
		fmt.Fprintf(&b, " and %d more", more)
	}
	return strings.TrimPrefix(b.String(), "; ")
}

// shown gives the tendencies that text and cues hold: the first ones that somebody ever does.
func (s *Scout) shown() []*Tendency {
	var out []*Tendency
	for i := range s.Tendencies {
		if t := &s.Tendencies[i]; (t.Count > 0 || t.PopulationCount > 0) && (s.Limit == 0 || len(out) < s.Limit) {
			out = append(out, t)
		}
	}
	return out
}

// clipsShown is how many clips a line of text names.
const clipsShown = 6

// Text writes the tendencies for a coach: those that differ most and are seen most often first.
func (s *Scout) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "What %s does when, in %d coded bout%s, before any plan is simulated\n\n", s.Fighter, len(s.Bouts), plural(len(s.Bouts)))
	shown := s.shown()
	for _, t := range shown {
		fmt.Fprintf(&b, "%s %s\n", t.mark(), t.Line())
		if len(t.Clips) > 0 {
			fmt.Fprintf(&b, "    %s\n", clipLine(t.Clips, clipsShown))
		}
	}
	fmt.Fprintf(&b, "\nShown: %d of %d tendencies in %d situations that were looked at; %d came up often enough to be compared with %d bouts of the population.\n",
		len(shown), s.Looked, s.Situations, s.Tested, s.PopulationBouts)
	fmt.Fprintf(&b, "Of those marked * about %.0f in 100 are expected to be luck (Benjamini & Hochberg). Ranges: %.0f %% confidence intervals.\n", 100*s.FalseDiscoveryRate, 100*s.Level)
	s.places(&b)
	for _, note := range s.Notes {
		fmt.Fprintf(&b, "Note: %s\n", note)
	}
	b.WriteString("\n" + Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// shownPlaces is how many rates by place the text lists besides those that differ.
const shownPlaces = 3

// places says what is begun more or less often in a place than elsewhere at the same range.
func (s *Scout) places(b *strings.Builder) {
	if len(s.Places) == 0 {
		b.WriteString("Fence, centre and stance: too little tape to compare rates there with those elsewhere at the same range, or nobody looked.\n")
		return
	}
	b.WriteString("\nWhat is begun more or less often by place, at the same range, as counted (profiles hold it as place.*, drawn towards the population):\n")
	for i := range s.Places {
		p := &s.Places[i]
		differs := p.Q <= s.FalseDiscoveryRate
		if s.Limit > 0 && i >= shownPlaces && !(differs && i < s.Limit) {
			break
		}
		b.WriteString(placeLine(p, differs) + "\n")
		if differs && len(p.Clips) > 0 {
			var clips []Clip
			for _, c := range p.Clips {
				clips = append(clips, Clip{Bout: c.Bout, Round: c.Round, Clock: ClockOf(c.Clock), At: c.Clock})
			}
			fmt.Fprintf(b, "    %s\n", clipLine(clips, clipsShown))
		}
	}
	fmt.Fprintf(b, "%d were frequent enough to be compared; between stances the opponents differ too.\n\n", len(s.Places))
}

// placeLine says a rate by place: how often, what was to be expected, and how many times as often that is.
func placeLine(p *calibrate.PlaceRate, differs bool) string {
	mark := " "
	if differs {
		mark = "*"
	}
	return fmt.Sprintf("%s %s: %s %s time%s in %.1f free minutes, %.1f expected: %.2f times as often as elsewhere (%.2f to %.2f); q %s", mark, p.Place, p.Does,
		weighed(p.Acts), plural(int(p.Acts)), p.Minutes, p.Expected, p.Ratio.Centre, p.Ratio.Low, p.Ratio.High, chance(p.Q))
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

func (t *Tendency) mark() string {
	if t.Differs {
		return "*"
	}
	return " "
}

// Line says the tendency: the plain count, the share or rate with its interval, and the population's with the difference.
func (t *Tendency) Line() string {
	scale, digits, unit := 100.0, 0, "points"
	line := fmt.Sprintf("%s: %s %.0f of %.0f (%.0f %%, %.0f to %.0f)", t.Situation, t.Does, t.Count, t.Of, 100*t.Share.Centre, 100*t.Share.Low, 100*t.Share.High)
	than := fmt.Sprintf("; population %.0f %%", 100*t.Population)
	if t.Unit == Minutes {
		scale, digits, unit = 1, 1, "a minute"
		line = fmt.Sprintf("%s: %s %.0f time%s in %.1f minutes on the feet (%.1f a minute, %.1f to %.1f)", t.Situation, t.Does, t.Count, plural(int(t.Count)), t.Of, t.Share.Centre, t.Share.Low, t.Share.High)
		than = fmt.Sprintf("; population %.1f", t.Population)
	}
	if t.Difference == nil {
		return line + "; the population has no such moments"
	}
	d := t.Difference
	line += than + fmt.Sprintf(" (difference %s, %s to %s %s)", signed(scale*d.Centre, digits), signed(scale*d.Low, digits), signed(scale*d.High, digits), unit)
	if !t.Compared {
		return line + "; too few to compare"
	}
	return line + "; q " + chance(t.Q)
}

func chance(q float64) string {
	if q < .001 {
		return "below 0.001"
	}
	return fmt.Sprintf("%.3f", q)
}

// VTT writes the clips of one bout as cues over its video, one for every time that a tendency of moments was shown; rates, which would
// cover every act, have none.
func (s *Scout) VTT(w io.Writer, bout *ScoutBout) error {
	var cues []Cue
	for _, t := range s.shown() {
		for i, c := range t.Clips {
			if c.Bout != bout.ID || t.Unit != Moments {
				continue
			}
			cues = append(cues, cueAround(bout.Bout, c.Round, c.At, fmt.Sprintf("%s: %s\n%d of %.0f in %.0f moments (round %d, %s)", t.Situation, t.Does,
				i+1, t.Count, t.Of, c.Round, c.Clock)))
		}
	}
	return WriteVTT(w, []string{
		fmt.Sprintf("whatbout scout of %s, bout %s", s.Fighter, bout.ID), videoNote(bout.Bout),
	}, cues)
}

// ClockOf writes a clip's clock to the tenth that a coder can see.
func ClockOf(us int64) string { return tape.FormatClock(us / 100_000 * 100_000) }
