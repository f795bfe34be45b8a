package chart

import (
	"fmt"
	"strings"
)

// Colour is one of sRGB's.
type Colour struct{ R, G, B uint8 }

func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// Scheme is what everything is drawn in: two inks on paper, as in a ruled notebook. Two inks are enough, since two things are compared at a
// time; red and blue are left to the corners. Every difference of ink is also one of shape, hatch or word.
type Scheme struct {
	Paper Colour // what lies under everything
	Ink   Colour // words and marks that belong to no side
	Soft  Colour // lesser words, axes, edges
	Rule  Colour // grid lines and other decoration: nothing depends on seeing them
	Usual Colour // the baseline: indigo, open marks, broken lines, hatch rising to the right
	Plan  Colour // the plan: sepia, full marks, whole lines, hatch falling to the right
}

// Light is for daylight and, on white, for print; Dark for a dark room.
var (
	Light = Scheme{Paper: Colour{0xfb, 0xf8, 0xf0}, Ink: Colour{0x1f, 0x24, 0x30}, Soft: Colour{0x55, 0x5a, 0x63}, Rule: Colour{0xdd, 0xd6, 0xc6},
		Usual: Colour{0x35, 0x53, 0x7c}, Plan: Colour{0xa3, 0x50, 0x00}}
	Dark = Scheme{Paper: Colour{0x16, 0x19, 0x1e}, Ink: Colour{0xec, 0xe5, 0xd6}, Soft: Colour{0xad, 0xa8, 0x9a}, Rule: Colour{0x38, 0x3d, 0x45},
		Usual: Colour{0x92, 0xb5, 0xe0}, Plan: Colour{0xf0, 0xa6, 0x4b}}
)

func (s Scheme) variables() string {
	return fmt.Sprintf("--wb-paper:%s;--wb-ink:%s;--wb-soft:%s;--wb-rule:%s;--wb-usual:%s;--wb-plan:%s", s.Paper, s.Ink, s.Soft, s.Rule, s.Usual, s.Plan)
}

// Families of fonts: what the system has.
const (
	serif = `"Iowan Old Style","Palatino Linotype",Palatino,"URW Palladio L",Georgia,"DejaVu Serif",serif`
	sans  = `ui-sans-serif,system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans",sans-serif`
	mono  = `ui-monospace,"Cascadia Mono",Menlo,Consolas,"DejaVu Sans Mono",monospace`
)

// Variables is the style sheet's part that sets the colours as custom properties, for light, dark, print and forced colours.
func Variables() string {
	print := Light
	print.Paper = Colour{255, 255, 255}
	return fmt.Sprintf(":root{color-scheme:light dark;--wb-serif:%s;--wb-sans:%s;--wb-mono:%s;%s}\n", serif, sans, mono, Light.variables()) +
		"@media (prefers-color-scheme:dark){:root{" + Dark.variables() + "}}\n" +
		"@media print{:root{color-scheme:light;" + print.variables() + "}}\n" +
		"@media (forced-colors:active){:root{--wb-paper:Canvas;--wb-ink:CanvasText;--wb-soft:CanvasText;--wb-rule:GrayText;--wb-usual:CanvasText;--wb-plan:CanvasText}}\n"
}

// Style is the style sheet of the charts themselves.
const Style = `.wb{display:block;width:100%;height:auto;overflow:visible;forced-color-adjust:none}
.wb text{font:13px var(--wb-sans);fill:var(--wb-ink)}
.wb .soft{fill:var(--wb-soft)}.wb .small{font-size:11.5px}.wb .big{font:600 19px var(--wb-serif)}.wb .strong{font-weight:600}
.wb .t-usual{fill:var(--wb-usual);font-weight:600}.wb .t-plan{fill:var(--wb-plan);font-weight:600}.wb .t-neither{font-weight:600}
.wb .halo{paint-order:stroke;stroke:var(--wb-paper);stroke-width:5px;stroke-linejoin:round}
.wb .num{font-variant-numeric:tabular-nums}
.wb .rule{stroke:var(--wb-rule);fill:none}.wb .axis{stroke:var(--wb-soft);fill:none}.wb .ink{stroke:var(--wb-ink);fill:none}.wb .zero{stroke:var(--wb-soft);stroke-dasharray:1 3;fill:none;stroke-linecap:round;stroke-width:1.5}
.wb .s-usual{stroke:var(--wb-usual);fill:none}.wb .s-plan{stroke:var(--wb-plan);fill:none}
.wb .open-usual{stroke:var(--wb-usual);fill:var(--wb-paper)}.wb .full-plan{stroke:var(--wb-plan);fill:var(--wb-plan)}
.wb .full-usual{stroke:var(--wb-usual);fill:var(--wb-usual)}.wb .open-plan{stroke:var(--wb-plan);fill:var(--wb-paper)}
.wb .open{stroke:var(--wb-soft);fill:none}.wb .full{stroke:none;fill:var(--wb-ink)}
.wb .broken{stroke-dasharray:5 3}.wb .dotted{stroke-dasharray:1 3.5;stroke-linecap:round}
.wb-narrow{display:none}
@media (max-width:600px){.wb-wide{display:none}.wb-narrow{display:block}}
@media print{.wb-wide{display:block}.wb-narrow{display:none}}
`

// hatches are the textures by name: what stands for a colour where colour is not seen. Each is a tile of lines in one ink.
var hatches = []struct {
	name, ink, lines string
	width            float64
}{
	{"usual", "usual", "M-1,1l2,-2M0,6l6,-6M5,7l2,-2", 1},
	{"plan", "plan", "M-1,5l2,2M0,0l6,6M5,-1l2,2", 1.6},
	{"cross", "ink", "M0,6l6,-6M0,0l6,6", 1},
	{"rising", "ink", "M-1,1l2,-2M0,6l6,-6M5,7l2,-2", 1.1},
	{"level", "ink", "M0,1.5h6M0,4.5h6", 1},
	{"upright", "ink", "M2,0v6M5,0v6", 1},
	{"grain", "ink", "M1.5,1.5h.01M4.5,4.5h.01", 1.8},
}

// Defs holds the hatches that the charts refer to. It stands once in a page, before the first chart.
func Defs() string {
	var b strings.Builder
	b.WriteString(`<svg width="0" height="0" style="position:absolute" aria-hidden="true" focusable="false"><defs>`)
	for _, h := range hatches {
		fmt.Fprintf(&b, `<pattern id="wb-%s" width="6" height="6" patternUnits="userSpaceOnUse"><path d="%s" style="stroke:var(--wb-%s);stroke-width:%g;stroke-linecap:round;fill:none"/></pattern>`,
			h.name, h.lines, h.ink, h.width)
	}
	b.WriteString("</defs></svg>")
	return b.String()
}

// Side says which of two things a mark belongs to.
type Side int

// The sides; Neither is for words in plain ink.
const (
	Usual Side = iota
	Plan
	Neither
)

func (s Side) String() string { return [...]string{"usual", "plan", "neither"}[s] }
