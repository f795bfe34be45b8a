package sim

import (
	"math"

	"whatbout/tape"
)

// point is a place in the fighting area: whole millimetres from its middle. Whole numbers keep bouts the same on every machine.
type point struct{ x, y int32 }

// area is the inside of a fence or ropes.
type area struct {
	inside  int32      // mm from the middle to the nearest boundary, for the circle or the polygon's sides
	normals [][2]int32 // outward unit normals of the sides in 1/4096; none for a circle
}

const normalUnit = 4096

// newArea lays the area out; a square has four sides.
func newArea(a tape.Area) area {
	out := area{inside: int32(math.Round(a.Diameter * 500))}
	sides := a.Sides
	switch a.Shape {
	case "circle":
		sides = 0
	case "square":
		sides = 4
	}
	for i := range sides {
		angle := 2 * math.Pi * float64(i) / float64(sides)
		out.normals = append(out.normals, [2]int32{
			int32(math.Round(math.Cos(angle) * normalUnit)), int32(math.Round(math.Sin(angle) * normalUnit))})
	}
	return out
}

// outwards is how far towards the boundary a point lies, in mm from the middle.
func (a *area) outwards(p point) int32 {
	if len(a.normals) == 0 {
		return root(square(p))
	}
	most := int64(math.MinInt64)
	for _, n := range a.normals {
		most = max(most, int64(n[0])*int64(p.x)+int64(n[1])*int64(p.y))
	}
	return int32(most / normalUnit)
}

// room is what is left between a point and the boundary, in mm; never negative.
func (a *area) room(p point) int32 { return max(a.inside-a.outwards(p), 0) }

// hasRoom reports whether at least mm are left between a point and the boundary. No point lies further outwards than from the middle, so
// that most need no look at the sides.
func (a *area) hasRoom(p point, mm int32) bool {
	if d := int64(a.inside - mm); d >= 0 && square(p) <= d*d {
		return true
	}
	return a.room(p) >= mm
}

// hold brings a point back inside.
func (a *area) hold(p point) point {
	if square(p) <= int64(a.inside)*int64(a.inside) {
		return p
	}
	out := a.outwards(p)
	if out <= a.inside {
		return p
	}
	return point{int32(int64(p.x) * int64(a.inside) / int64(out)), int32(int64(p.y) * int64(a.inside) / int64(out))}
}

// square is the squared distance from the middle, mm².
func square(p point) int64 { return int64(p.x)*int64(p.x) + int64(p.y)*int64(p.y) }

// root is the whole square root; Sqrt of an exact whole number below 2^53 is the same everywhere.
func root(x int64) int32 { return int32(math.Sqrt(float64(x))) }

// gap is the distance between two points, mm.
func gap(a, b point) int32 { return root(square(point{a.x - b.x, a.y - b.y})) }

// towards moves a point by mm along the line to another (away for a negative distance).
func towards(from, to point, mm int32) point {
	d := int64(max(gap(from, to), 1))
	return point{from.x + int32(int64(to.x-from.x)*int64(mm)/d), from.y + int32(int64(to.y-from.y)*int64(mm)/d)}
}

// around moves a point by mm at right angles to the line to another: to its left for a positive distance.
func around(from, to point, mm int32) point {
	d := int64(max(gap(from, to), 1))
	return point{from.x - int32(int64(to.y-from.y)*int64(mm)/d), from.y + int32(int64(to.x-from.x)*int64(mm)/d)}
}
