package infer

// Coefficient is agreement beyond chance, (Observed - Expected)/(1 - Expected), with an interval. 1 is full agreement, 0 what chance gives.
type Coefficient struct {
	Interval
	Observed float64 `json:"observed"`                    // agreement seen, 0 to 1
	Expected float64 `json:"expected"`                    // agreement by chance, as the coefficient defines chance
	SE       float64 `json:"se"`                          // of the estimate
	SE0      float64 `json:"se_by_chance,omitempty"`      // of the estimate if there were no agreement beyond chance: for tests, not for intervals
	Defined  bool    `json:"defined"`                     // false without units, or where chance alone agrees on everything; the rest then says nothing
	Apart    float64 `json:"disagreeing_units,omitempty"` // units on which coders differ, where units are counted
}

// fewApart: below this many differing units the bounds rest on the form of the interval more than on the data.
const fewApart = 5

// coefficient starts an estimate; without units, or with chance agreement 1, there is none.
func coefficient(observed, expected, n, level float64, method string) Coefficient {
	tail(level)
	c := Coefficient{Interval: Interval{Level: level, Low: -1, High: 1, Kind: Confidence, Method: method, Count: n}, Observed: observed, Expected: expected}
	switch {
	case n == 0:
		c.warn("nothing was counted")
	case 1-expected < 1e-12:
		c.warn("not defined: one code only, on which chance alone agrees")
	default:
		c.Defined = true
		c.Centre = (observed - expected) / (1 - expected)
		c.Apart = n * max(1-observed, 0)
	}
	return c
}

// normal gives the bounds by the standard error. Where nobody differs that error is 0 though the units are few; the bound below then
// comes from the Wilson limit of the observed agreement, with chance held.
func (c *Coefficient) normal(se float64) {
	c.SE = se
	z := normalQuantile(c.Level)
	c.Low, c.High = max(c.Centre-z*se, -1), min(c.Centre+z*se, 1)
	c.guard()
}

// guard keeps an interval from closing up where no unit, or hardly one, differs.
func (c *Coefficient) guard() {
	switch {
	case c.Observed >= 1-1e-12:
		c.SE, c.Apart = 0, 0 // what is left of them is rounding, which differs between machines
		agree := Wilson(c.Count, c.Count, c.Level)
		c.Low, c.High = max((agree.Low-c.Expected)/(1-c.Expected), -1), 1
		c.warn("no unit differs: the lower bound is the Wilson limit of the share that agrees")
	case c.Apart < fewApart:
		c.warn("fewer than %d units differ: the bounds are rough", fewApart)
	}
}
