package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// linear undoes the transfer curve of sRGB (IEC 61966-2-1; WCAG 2.2 writes .04045 since its erratum).
func linear(x uint8) float64 {
	v := float64(x) / 255
	if v <= .04045 {
		return v / 12.92
	}
	return math.Pow((v+.055)/1.055, 2.4)
}

func (c Colour) linear() [3]float64 { return [3]float64{linear(c.R), linear(c.G), linear(c.B)} }

// contrast is that of WCAG 2.2, definitions of relative luminance and contrast ratio.
func contrast(a, b Colour) float64 {
	luminance := func(c Colour) float64 { l := c.linear(); return .2126*l[0] + .7152*l[1] + .0722*l[2] }
	x, y := luminance(a), luminance(b)
	return (max(x, y) + .05) / (min(x, y) + .05)
}

// Exact: black on white is 21 to 1, the highest there is (WCAG 2.2, note on contrast ratio); #767676 on white is known to be the lightest grey
// that passes 4.5 (4.54).
func TestContrastFormula(t *testing.T) {
	white := Colour{255, 255, 255}
	require.InDelta(t, 21, contrast(Colour{}, white), 1e-9)
	require.InDelta(t, 4.54, contrast(Colour{0x76, 0x76, 0x76}, white), .005)
}

// Words 4.5 to 1 (WCAG 2.2, 1.4.3), marks 3 to 1 (1.4.11). Usual, Plan, Ink and Soft are all used for words. Rule is decoration.
func TestContrast(t *testing.T) {
	for name, s := range map[string]Scheme{"light": Light, "dark": Dark, "print": printed()} {
		for what, c := range map[string]Colour{"ink": s.Ink, "soft": s.Soft, "usual": s.Usual, "plan": s.Plan} {
			require.GreaterOrEqual(t, contrast(c, s.Paper), 4.5, "%s %s", name, what)
		}
	}
}

func printed() Scheme {
	s := Light
	s.Paper = Colour{255, 255, 255}
	return s
}

// Full loss of one kind of cone in linear sRGB: Machado, Oliveira & Fernandes 2009, A Physiologically-based Model for Simulation of Color
// Vision Deficiency, IEEE TVCG 15(6), 1291-1298, table 1, severity 1.0 (from memory).
var blindness = map[string][3][3]float64{
	"none":         {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{.152286, 1.052583, -.204868}, {.114503, .786281, .099216}, {-.003882, -.048116, 1.051998}},
	"deuteranopia": {{.367322, .860646, -.227968}, {.280085, .672501, .047413}, {-.011820, .042940, .968881}},
	"tritanopia":   {{1.255528, -.076749, -.178779}, {-.078411, .930809, .147602}, {.004733, .691367, .303900}},
}

// Exact: each row of a matrix adds up to 1, so that greys stay grey (its authors' condition); this would catch a wrong digit.
func TestBlindnessKeepsGreys(t *testing.T) {
	for name, m := range blindness {
		for _, row := range m {
			require.InDelta(t, 1, row[0]+row[1]+row[2], 2e-6, name)
		}
	}
}

// seen is a colour in CIELAB (CIE 1976; D65, matrix of IEC 61966-2-1) as seen with a kind of blindness.
func seen(c Colour, m [3][3]float64) (lab [3]float64) {
	l := c.linear()
	var rgb [3]float64
	for i, row := range m {
		rgb[i] = min(max(row[0]*l[0]+row[1]*l[1]+row[2]*l[2], 0), 1)
	}
	xyz := [3]float64{
		(.4124*rgb[0] + .3576*rgb[1] + .1805*rgb[2]) / .9505,
		.2126*rgb[0] + .7152*rgb[1] + .0722*rgb[2],
		(.0193*rgb[0] + .1192*rgb[1] + .9505*rgb[2]) / 1.089,
	}
	for i, v := range xyz {
		if v > 216.0/24389 {
			xyz[i] = math.Cbrt(v)
		} else {
			xyz[i] = (24389.0/27*v + 16) / 116
		}
	}
	return [3]float64{116*xyz[1] - 16, 500 * (xyz[0] - xyz[1]), 200 * (xyz[1] - xyz[2])}
}

func apart(a, b Colour, m [3][3]float64) float64 {
	x, y := seen(a, m), seen(b, m)
	return math.Sqrt((x[0]-y[0])*(x[0]-y[0]) + (x[1]-y[1])*(x[1]-y[1]) + (x[2]-y[2])*(x[2]-y[2]))
}

// The two inks stay apart for everybody: a distance of 2.3 in CIELAB is just noticeable (Mahy, Van Eycken & Oosterlinck 1994); ten times that
// is asked for, since marks are small (judgement). No mark rests on ink alone, all the same.
func TestInksAreToldApartByEverybody(t *testing.T) {
	for name, m := range blindness {
		for scheme, s := range map[string]Scheme{"light": Light, "dark": Dark} {
			require.Greater(t, apart(s.Usual, s.Plan, m), 23.0, "%s %s", scheme, name)
		}
	}
	red, green := Colour{0xc0, 0x50, 0x40}, Colour{0x70, 0x80, 0x30}
	require.Less(t, apart(red, green, blindness["deuteranopia"]), 23.0, "what the test would not let pass")
}

// Every colour of the schemes is in the style sheet, and charts name colours by these properties only.
func TestVariables(t *testing.T) {
	for _, s := range []Scheme{Light, Dark} {
		for _, c := range []Colour{s.Paper, s.Ink, s.Soft, s.Rule, s.Usual, s.Plan} {
			require.Contains(t, Variables(), c.String())
		}
	}
	require.NotRegexp(t, `#[0-9a-f]{3,6}`, Style)
	for name, draw := range drawings {
		require.NotRegexp(t, `#[0-9a-fA-F]{6}|rgb\(`, draw(Wide), name)
	}
}
