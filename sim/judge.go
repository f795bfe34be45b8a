package sim

import "whatbout/sim/kernel"

// endRound rests both fighters, lets the judges score and the corners look.
func (b *Bout) endRound() {
	b.bookControl()
	for c := range b.men {
		b.rest(c)
		if b.men[c].out && !b.over { // the bell saves nobody
			b.end(1-c, ByKO)
			return
		}
	}
	b.score()
	for c := range b.men {
		m := &b.men[c]
		m.stamina += (fullTank - m.stamina) / 2
		m.trunk /= 2
		if !b.over && b.round < b.Rules.Rounds && m.head > b.chin && b.roundLuck(uint64(10+c)) < 1<<30 {
			b.end(1-c, ByCorner) // a corner or doctor looks at the damage between rounds
		}
	}
}

func (b *Bout) roundLuck(word uint64) uint32 {
	s := b.key.With(uint64(b.round)).With(word).Stream()
	return s.Uint32()
}

// score is the ten-point must system by the unified criteria (Association of Boxing Commissions, 2016): effective striking and
// grappling by impact, immediate over cumulative, so that knockdowns and strikes that hurt weigh more than their number; effective
// aggressiveness only where that is even, and control of the area only where both are. Each of three judges sees impact with noise of
// their own, and so does each corner, whose fighter goes by it.
func (b *Bout) score() {
	r := roundScore{b.men[0].score, b.men[1].score, b.secondary()}
	b.rounds = append(b.rounds, r)
	for j := range b.cards {
		p := b.points(r, b.roundLuck(uint64(20+j)))
		b.cards[j][0] += 10 + min(p, 0)
		b.cards[j][1] += 10 - max(p, 0)
	}
	for c := range b.men {
		p := b.points(r, b.roundLuck(uint64(30+c)))
		b.men[c].rounds += int8(min(max(p, -1), 1) * (1 - 2*c))
	}
}

// roundScore is what there is to see of a round: impact, and what counts where that is even, above zero for red.
type roundScore struct{ red, blue, even int64 }

// points are those by which red leads (2 to -2; 0 is a level round) on the card of somebody who sees a round with the luck of u: the more, the
// better for red. A round won by a large margin is 10-8.
func (b *Bout) points(r roundScore, u uint32) int {
	total := r.red + r.blue + 200
	noise, home := int64(b.World.JudgeNoise*1024), int64(b.World.Home*1024)
	seen := r.red - r.blue + total*home/1024 + total*noise/1024*int64(kernel.Normal(u))/kernel.NormalUnit
	if abs(seen)*evenImpact < total {
		seen = r.even
	}
	points := 1
	if abs(seen) > 1100 && abs(seen)*10 > total*5 {
		points = 2
	}
	switch {
	case seen > 0:
		return points
	case seen < 0:
		return -points
	}
	return 0
}

// evenImpact is the part of all impact below which a judge holds a round's impact even (judgement).
const evenImpact = 100

// secondary is what counts where impact is even: above zero for red. Aggressiveness is attacks made, control the time in the middle and
// on top; where all is even, so is the round.
func (b *Bout) secondary() int64 {
	d := int64(b.men[0].attacks - b.men[1].attacks)
	if d == 0 {
		d = b.men[0].control - b.men[1].control
	}
	return min(max(d, -1), 1)
}

func abs(x int64) int64 { return max(x, -x) }

// decide adds the cards up.
func (b *Bout) decide() {
	ahead := [2]int{}
	for _, card := range b.cards {
		switch {
		case card[0] > card[1]:
			ahead[0]++
		case card[1] > card[0]:
			ahead[1]++
		}
	}
	b.verdict = Verdict{Winner: -1, Method: ByDecision, Judges: agreement(ahead), Round: uint8(min(b.round, b.Rules.Rounds)), Clock: b.now}
	for c := range ahead {
		if ahead[c] >= 2 {
			b.verdict.Winner = int8(c)
		}
	}
}

// agreement of three judges, by how many have each corner ahead; the rest have it level.
func agreement(ahead [2]int) Agreement {
	level := 3 - ahead[0] - ahead[1]
	switch {
	case ahead[0] == 3 || ahead[1] == 3 || level == 3:
		return Unanimous
	case ahead[0] > 0 && ahead[1] > 0:
		return Split
	}
	return Majority
}
