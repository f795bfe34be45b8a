package chart

import "fmt"

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
	Usual Colour // the baseline: indigo, open marks, broken lines, thin strokes
	Plan  Colour // the plan: sepia, full marks, whole lines, thick strokes
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
.wb .grain{stroke:var(--wb-ink);fill:none;stroke-linecap:round}
.wb .open{stroke:var(--wb-soft);fill:none}.wb .full{stroke:none;fill:var(--wb-ink)}
.wb .broken{stroke-dasharray:5 3}.wb .dotted{stroke-dasharray:1 3.5;stroke-linecap:round}
.wb-narrow{display:none}
@media (max-width:600px){.wb-wide{display:none}.wb-narrow{display:block}}
@media print{.wb-wide{display:block}.wb-narrow{display:none}}
`

// Side says which of two things a mark belongs to.
type Side int

// The sides; Neither is for words in plain ink.
const (
	Usual Side = iota
	Plan
	Neither
)

func (s Side) String() string { return [...]string{"usual", "plan", "neither"}[s] }
