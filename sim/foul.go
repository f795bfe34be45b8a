package sim

import "whatbout/tape"

// foulChance is how often a strike of a kind that goes wrong ends the bout by a foul, in 1/2^32 (one in 12,000; judgement): low to the
// groin, a finger in the eye, the back of the head.
const foulChance = 1 << 32 / 12_000

// risky are the moves that can go wrong in such a way.
func risky(m tape.Move) bool {
	switch m {
	case tape.MoveLowKickInside, tape.MoveKnee, tape.MoveGroundStrike, tape.MoveMeasure, tape.MoveJab, tape.MoveBodyKick:
		return true
	}
	return false
}

// fouls reports whether the move just made has ended the bout by a foul, and ends it. One in eight is held to be deliberate (judgement)
// and disqualifies. After an accidental one the bout is a no contest, or, once more than half of its rounds are over, goes to the
// cards as they stand with the round under way scored (Unified Rules of MMA, from memory).
func (b *Bout) fouls(c int) bool {
	m := &b.men[c]
	if b.NoStop || !risky(m.move) || low(m.luck[luckFoul]) >= foulChance {
		return false
	}
	switch {
	case high(m.luck[luckFoul]) < 1<<29:
		b.end(1-c, ByDisqualification)
	case (b.round-1)*2 > b.Rules.Rounds:
		b.score()
		b.over = true
		b.decide()
	default:
		b.over = true
		b.verdict = Verdict{Winner: -1, Method: NoContest, Round: uint8(b.round), Clock: b.now}
	}
	return true
}
