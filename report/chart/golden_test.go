package chart

import (
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "record the drawings anew")

const hostile = `<script>alert("1")</script> & 'so on'`

// drawings are one of every chart, with ordinary, extreme and hostile input.
var drawings = map[string]func(width float64) string{
	"icons": func(w float64) string {
		return Icons(w, []IconArray{{Label: "As usual", Side: Usual, Won: 47, Drawn: 2, Lost: 51}, {Label: hostile, Side: Plan, Won: 100}, {Label: "Never", Side: Plan, Lost: 100}})
	},
	"dots": func(w float64) string {
		return Dotplot(w, "points", []DotRow{{"As usual", Usual, []float64{-2, -.5, 0, 0, 0, 0, .2, 1, 3.1}, .2, .1, .3}, {hostile, Plan, []float64{0, 0, 0}, 0, 0, 0}})
	},
	"dots-same": func(w float64) string { return Dotplot(w, "points", []DotRow{{"None", Usual, []float64{0}, 0, 0, 0}}) },
	"doubts": func(w float64) string {
		return Doubts(w, "bouts in 100", 4.7, []Doubt{{Name: "simulation", Shrinks: "More bouts would.", Low: 3.6, High: 5.9}, {Name: "tape", Shrinks: "More tape would.", Low: -5, High: 14, Open: true},
			{Name: hostile, Shrinks: "Nothing would: " + hostile, Low: -2, High: 12}})
	},
	"doubts-none": func(w float64) string {
		return Doubts(w, "bouts in 100", 0, []Doubt{{Name: "simulation", None: true}, {Name: "tape", None: true}, {Name: "all doubt", None: true}})
	},
	"strips": func(w float64) string {
		return Strips(w, []string{"a", "b", "c", "d", "e", "f", hostile}, []Texture{"solid", "cross", "rising", "blank", "grain", "level", "upright"},
			[]Strip{{"As usual", Usual, []float64{.2, .1, .15, .02, .18, .1, .25}}, {hostile, Plan, []float64{.3, .1, .1, 0, .1, .1, .3}}, {"One", Neither, []float64{0, 0, 0, 1, 0, 0, 0}}})
	},
	"tallies": func(w float64) string {
		return Tallies(w, "As usual", hostile, []TallyRow{{"strikes taken in a bout", 28.3, 29.4, 1}, {"none", 0, 0, 1}, {"very many " + hostile, 12345, 10, 0}})
	},
	"pairs": func(w float64) string {
		return Pairs(w, "a minute", 2, []PairRow{{"steps back", 5.81, 3.13, Sure, false}, {"punches", 2, 3, MeanOnly, false}, {"landed clean", 1, 1.5, Unsure, true}, {hostile + " and a very long name of a row", 0, 0, Unsure, false}})
	},
	"pairs-bare": func(w float64) string {
		return Pairs(w, "bouts won of 100", 1, []PairRow{{"as usual", 37.5, 34.5, Unstated, false}})
	},
	"pairs-none": func(w float64) string {
		return Pairs(w, "a minute", 2, []PairRow{{Name: "nothing", Certainty: Unsure}})
	},
	"ribbons": func(w float64) string {
		line := func(s Side, by float64) (l RibbonLine) {
			l.Side = s
			for r := 1; r <= 2; r++ {
				for b := range 4 {
					x := by + .02*float64(b*r)
					l.Points = append(l.Points, RibbonPoint{r, float64(15 * b), float64(15*b + 15), x, x - .03, x + .05})
				}
			}
			return l
		}
		return Ribbons(w, 2, 60, []RibbonPanel{{"Out of range", []RibbonLine{line(Usual, .2), line(Plan, .1)}}, {hostile, []RibbonLine{line(Usual, .05), {Side: Plan}}}, {"Nothing", nil}})
	},
	"frontier": func(w float64) string {
		return Frontier(w, "bouts in 100", []Offer{{"A", "feint then go", 1.5, -1.3, 4.3, false, false}, {"B", hostile, .5, -2, 3, true, false}, {"C", "stay close", 5.7, 2.5, 8.9, false, true}},
			[]FrontierPanel{{"Clean head strikes a bout", []Charge{{.3, -.4, 1}, {0, -.1, .1}, {.6, -.2, 1.4}}}, {"Knockdowns a bout", []Charge{{-.02, -.05, .01}, {0, 0, 0}, {.04, 0, .07}}}, {hostile, []Charge{{}, {}, {}}}})
	},
	"gains": func(w float64) string {
		return Gains(w, "bouts in 100", "as usual", []GainRow{{Name: "stay close", Mean: 5.7, SimLow: 2.5, SimHigh: 8.9, AllLow: -4, AllHigh: 12}, {Name: hostile, Note: "kept out", Mean: -1, SimLow: -3, SimHigh: 1, AllLow: -9, AllHigh: 9, Open: true}, {Name: "nothing", None: true}})
	},
	"gains-none": func(w float64) string { return Gains(w, "bouts", "as usual", []GainRow{{Name: "nothing", None: true}}) },
	"truths": func(w float64) string {
		return Truths(w, []TruthRow{{Name: "as usual", Share: .2, Error: .2}, {Name: hostile, Share: 1}, {Name: "stay close", Note: "kept out"}})
	},
	"worths": func(w float64) string {
		return Worths(w, "bouts in 100", .1, []WorthRow{{Name: "Badger in the pocket", Values: []float64{.02, .05, .09}, Upper: .4}, {Name: hostile + hostile, Open: true, Values: []float64{0}, Upper: 0}, {Name: "nothing"}})
	},
	"ledger": func(w float64) string {
		return Ledger(w, []Patch{{"luck of a single bout", "46.57; nothing shrinks it", 46.57, false, "blank"}, {"tape", "at most 6.2; more bouts would tell", 6.2, true, "rising"}, {hostile, "3.1; " + hostile, 3.1, false, "cross"},
			{"assumption", "20", 20, false, "cross"}, {"none", "none", 0, false, "solid"}})
	},
	"ranks": func(w float64) string {
		return Ranks(w, "fewer", "more", []RankRow{{"Acts", "fits", false, []float64{.1, .5, .5, .51, .9}}, {hostile, "does not fit", true, []float64{.01, .99, .999, .3}}, {"Nothing", "too little tape", false, nil}})
	},
	"stated": func(w float64) string {
		return Stated(w, "said, of 100", hostile, []StatedPoint{{.2, .21, .15, .25, 40}, {.5, .7, .42, .57, 40}, {1, 0, 0, 1, 3}})
	},
	"curve": func(w float64) string {
		line := func(by float64, open bool) (out []CurvePoint) {
			for i := range 5 {
				x := by * float64(i)
				out = append(out, CurvePoint{X: float64(2 * i), Mean: x, SimLow: x - 1, SimHigh: x + 1, AllLow: x - 4, AllHigh: x + 5, Open: open && i > 2, Beyond: i == 0 || i == 4})
			}
			return out
		}
		return Curves(w, 2, CurveAxis{"of ten", 2.2, 6.8, 4.8, "thick axis: what the tape supports", "pin: as calibrated, 4.8"},
			[]CurvePanel{{Name: "Bouts won of 100", Points: line(3, false)}, {Name: hostile + " and more words than there is room for", Signed: true, Points: line(-1, true), Unclear: [][2]float64{{0, 3}, {5, 8}}}, {Name: "Nothing"}, {Name: "Flat", Points: line(0, true)}})
	},
	"floor": func(w float64) string {
		return Floor(w, FloorArea{Sides: 8, Diameter: 3, Cell: .5, Columns: 7}, []FloorMap{{"As usual", Usual, somewhere(3)}, {hostile, Plan, somewhere(1)}})
	},
	"floor-round": func(w float64) string {
		return Floor(w, FloorArea{Diameter: 3, Cell: .5, Columns: 7}, []FloorMap{{"Nowhere", Usual, make([]float64, 49)}})
	},
}

func somewhere(row int) []float64 {
	out := make([]float64, 49)
	for i := range 7 {
		out[7*row+i] = float64(i) / 21
	}
	return out
}

// The drawings are those recorded; -update records them anew. They are well-formed, hold no script whatever the names, and stay inside
// their width: labels by the width that is reckoned for letters, marks exactly.
func TestDrawings(t *testing.T) {
	for name, draw := range drawings {
		for _, width := range []float64{Wide, Narrow} {
			t.Run(fmt.Sprintf("%s-%.0f", name, width), func(t *testing.T) {
				got := draw(width)
				require.Equal(t, got, draw(width), "the same input gives the same drawing")
				wellFormed(t, got)
				inside(t, got, width)
				file := filepath.Join("testdata", fmt.Sprintf("%s-%.0f.svg", name, width))
				if *update {
					require.NoError(t, os.WriteFile(file, []byte(strings.ReplaceAll(got, "><", ">\n<")+"\n"), 0o644))
				}
				want, err := os.ReadFile(file)
				require.NoError(t, err, "record it with -update")
				require.Equal(t, string(want), strings.ReplaceAll(got, "><", ">\n<")+"\n")
			})
		}
	}
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	in := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok {
			require.Contains(t, []string{"svg", "path", "circle", "rect", "text"}, e.Name.Local)
			for _, a := range e.Attr {
				require.False(t, strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Name.Local, "href"), a.Name.Local)
			}
		}
	}
	require.NotContains(t, svg, "NaN")
	require.NotContains(t, svg, "Inf")
	require.Contains(t, svg, `role="img" aria-label="`)
}

// textAt finds words with place, anchor and class.
var textAt = regexp.MustCompile(`<text x="([^"]+)" y="([^"]+)" text-anchor="(\w+)" class="([^"]*)">([^<]*)</text>`)

// inside looks at words and at every x of circles, boxes and paths that begin with one. Half a tick label may hang over the edge.
func inside(t *testing.T, svg string, width float64) {
	t.Helper()
	const over = 12
	for _, m := range textAt.FindAllStringSubmatch(svg, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		words := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&#34;", `"`, "&#39;", "'", "&amp;", "&").Replace(m[5])
		wide := widthOf(words)
		if strings.Contains(m[4], "small") {
			wide *= 11.5 / 13
		}
		from := map[string]float64{"start": x, "middle": x - wide/2, "end": x - wide}[m[3]]
		require.GreaterOrEqual(t, from, -float64(over), m[0])
		require.LessOrEqual(t, from+wide, width+over, m[0])
	}
	for _, m := range regexp.MustCompile(`(?:cx="|[ML])(-?[0-9.]+)[,"]`).FindAllStringSubmatch(svg, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		require.True(t, x >= -over && x <= width+over, m[0])
	}
}
