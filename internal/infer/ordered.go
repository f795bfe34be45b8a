package infer

// Ordered gives the components of draws of all doubt and of draws of a part of it so that the part's spread is not above the whole's. Where the two
// came out the wrong way round, both get the pooled estimate, by degrees of freedom: what pooling the minimum violator gives for variance
// components that are ordered (Thompson 1962, Ann. Math. Stat. 33, 273–289; Robertson, Wright & Dykstra 1988, Order Restricted Statistical
// Inference, section 1.2; both from memory). What the draws say of the mean stays theirs.
func Ordered(all, part Components) (Components, Components) {
	if all.Between >= part.Between {
		return all, part
	}
	df := all.dfBetween() + part.dfBetween()
	pooled := (all.dfBetween()*all.Between + part.dfBetween()*part.Between) / df
	return all.tied(pooled, df), part.tied(pooled, df)
}

// tied replaces the estimate of τ² by one with so many degrees of freedom.
func (c Components) tied(between, df float64) Components {
	c.Between, c.MSB, c.pooled = between, max(c.N*between+c.MSW, 0), df
	return c
}

// dfBetween are the degrees of freedom of MSB.
func (c Components) dfBetween() float64 {
	if c.pooled > 0 {
		return c.pooled
	}
	return float64(c.K - 1)
}

// SpreadBoth is [Spread] of draws of all doubt and of a part of it, held in order by [Ordered].
func SpreadBoth(all, part []Group, level float64) (whole, of Spreading) {
	a, p := Ordered(Split(all), Split(part))
	whole, of = spreading(a, all, level), spreading(p, part, level)
	if a.pooled > 0 { // one spread has one limit
		most := max(whole.AtMost, of.AtMost)
		whole.AtMost, of.AtMost = most, most
	}
	return whole, of
}

// BetterOf is [Better] over draws of all doubt whose spread is held to be at least that of draws of a part of it. The jackknife drops blocks of
// both.
func BetterOf(all, part []Group, lower bool) Probability { return chance(all, part, lower) }
