package calibrate

import (
	"fmt"

	"whatbout/tape"
)

// onlyWins warns of fighters who won every coded bout whose result is known: what they do when they are losing is not on the tape.
func onlyWins(sources []*source, ids []string) (out []string) {
	for _, id := range ids {
		won, lost, open := 0, 0, 0
		done := map[*tape.Bout]bool{}
		for _, s := range sources {
			if done[s.bout] || s.id(tape.RedCorner) != id && s.id(tape.BlueCorner) != id {
				continue
			}
			done[s.bout] = true
			switch e := s.bout.Ended; {
			case e.How == "":
				open++
			case e.Winner != tape.NoCorner && s.id(e.Winner) == id:
				won++
			default:
				lost++
			}
		}
		if won == 0 || lost > 0 {
			continue
		}
		text := fmt.Sprintf("%s won all %d coded bouts", id, won)
		if won == 1 {
			text = id + " won the one coded bout"
		}
		if open > 0 {
			text += fmt.Sprintf(" whose result is known (of %d more it is not)", open)
		}
		out = append(out, text+": how this fighter does when losing is not on the tape, and the figures lean to opponents whom it went well against")
	}
	return out
}
