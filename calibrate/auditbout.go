package calibrate

import "gonum.org/v1/gonum/stat"

// oddBout is how far off, in every set, the totals of that bout lie which is farthest off there, and what is farthest off in the coded one.
type oddBout struct {
	far   []float64
	name  string   // of the coded one
	worst []string // in it
}

// farthestBout looks at each bout alone; distances of bouts are compared after standardising each over the sets. Of a single bout there is
// nothing to tell beyond its totals.
func farthestBout(cells []*cell) (odd oddBout, several bool) {
	byBout := map[string][]*cell{}
	var order []string
	for _, c := range cells {
		if byBout[c.Bout] == nil {
			order = append(order, c.Bout)
		}
		byBout[c.Bout] = append(byBout[c.Bout], c)
	}
	sets := len(cells[0].draws) + 1
	odd.far = make([]float64, sets)
	for _, bout := range order {
		totals := totalsOf(byBout[bout])
		far := offness(totals, sets)
		mean, sd := stat.MeanStdDev(far, nil)
		for s := range far {
			if sd == 0 {
				continue
			}
			d := (far[s] - mean) / sd
			if s == sets-1 && d > odd.far[s] {
				odd.name, odd.worst = bout, worst(totals)
			}
			odd.far[s] = max(odd.far[s], d)
		}
	}
	return odd, len(order) > 1
}

// inBout names what is farthest off in it, with the bout.
func (o *oddBout) inBout() (out []string) {
	for _, name := range o.worst {
		out = append(out, name+" in "+o.name)
	}
	return out
}
