package sim

import "sort"

// Chances is what a bout that was scored leaves to the judges' eyes, given all that happened in it: in 1/2^32 the chances that red wins,
// that blue wins, that nobody does; and the expected margin on a card, red less blue, in 1/2^20 points. A bout that was stopped
// leaves nothing but the margin of its finished rounds. Expectations over these have the same mean as over the verdict that was drawn,
// and less luck in them (conditional Monte Carlo; Asmussen & Glynn 2007, Stochastic Simulation, V.4, from memory).
type Chances struct {
	Red, Blue, Nobody int64
	Margin            int64
}

// all is the chance of what is certain.
const all = 1 << 32

// chances works them out. The judges do not know of each other, and see each round for itself.
func (b *Bout) chances() Chances {
	card := lead{1}
	margin := 0.0
	for n, r := range b.rounds {
		shares := b.pointShares(r)
		card = card.after(shares, n)
		for p, share := range shares {
			margin += float64(float64(p-2) * share)
		}
	}
	c := Chances{Margin: int64(margin * (1 << 20))}
	switch v := b.verdict; {
	case v.Method != ByDecision:
		c.of(v.Winner, all)
	default:
		level := len(b.rounds) * 2
		ahead, behind := sum(card[level+1:]), sum(card[:level])
		c.Red, c.Blue = int64(ofThree(ahead)*all), int64(ofThree(behind)*all)
		c.Nobody = all - c.Red - c.Blue
	}
	return c
}

func (c *Chances) of(winner int8, chance int64) {
	switch winner {
	case 0:
		c.Red = chance
	case 1:
		c.Blue = chance
	default:
		c.Nobody = chance
	}
}

// pointShares gives the shares of lucks by which a judge sees red -2 to 2 points ahead. Points rise with the luck, so that each begins where
// a search finds it.
func (b *Bout) pointShares(r roundScore) (shares [5]float64) {
	from := 0
	for p := -2; p <= 2; p++ {
		to := sort.Search(all, func(u int) bool { return u >= from && b.points(r, uint32(u)) > p })
		shares[p+2] = float64(to-from) / all
		from = to
	}
	return shares
}

// lead is the distribution of red's lead on a card: index i after n rounds is a lead of i-2n points.
type lead [4*maxRounds + 1]float64

// maxRounds is the most that a rule set has.
const maxRounds = 15

// after gives the distribution with one round more, after n of them.
func (l *lead) after(shares [5]float64, n int) (out lead) {
	for i := range 4*n + 1 {
		for p, share := range shares {
			out[i+p] += float64(l[i] * share)
		}
	}
	return out
}

// ofThree is the chance that at least two of three do what one does with chance p.
func ofThree(p float64) float64 { return float64(p*p) * (3 - float64(2*p)) }

func sum(xs []float64) (total float64) {
	for _, x := range xs {
		total += x
	}
	return total
}
