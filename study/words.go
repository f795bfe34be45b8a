package study

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// Words for where a choice is made.
var (
	zoneWords = [fighter.NumZones]string{"out of range", "at kicking range", "at long range", "in the pocket", "in the clinch",
		"on top", "on the bottom"}
	threatWords = [fighter.NumThreats]string{"against a straight punch", "against a looping punch", "against a low kick",
		"against a body kick", "against a high kick", "against a front kick", "against a knee or elbow", "against a shot"}
	cueWords = [fighter.NumCues]string{"of the hand", "of the hip", "of the leg", "of a level change"}
)

// familyWords names the families of acts that measures count.
var familyWords = [fighter.Takedown]string{"straight punches", "looping punches", "low kicks", "higher kicks", "knees and elbows",
	"ground strikes"}

func moveAt(i int) tape.Move { return tape.Move(i) }
