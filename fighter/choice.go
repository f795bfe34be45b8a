// Package fighter holds what is known of one fighter: body, choice tables, skills, timing, and how sure each figure is. A
// figure is a named number with a posterior; a draw is one possible truth, read and set by figure. The package decides which
// figures there are, their units, ranges and population values; calibrate makes posteriors from tape, sim turns draws into bouts.
package fighter

import "whatbout/tape"

// Zone is where a fighter stands by the reach of their own limbs, with the ground split by who is on top.
type Zone uint8

// The zones, from far to near.
const (
	Out Zone = iota
	Kicking
	Long
	Pocket
	Clinch
	Top
	Bottom
	NumZones
)

var zoneNames = [NumZones]string{"out", "kicking", "long", "pocket", "clinch", "top", "bottom"}

func (z Zone) String() string { return zoneNames[z] }

// ZoneOf gives the zone of a coded range. Ground counts as the bottom until a row says who is on top; boxing counts as long.
func ZoneOf(v tape.Value) Zone {
	switch v {
	case tape.Kicking:
		return Kicking
	case tape.Long, tape.Boxing:
		return Long
	case tape.Pocket:
		return Pocket
	case tape.Clinch:
		return Clinch
	case tape.Ground:
		return Bottom
	}
	return Out
}

// ExchangeZones is how many zones (kicking, long, pocket) have answer and continue tables; out shares those of kicking.
const ExchangeZones = 3

// Exchange gives the index of the zone's answer and continue tables.
func (z Zone) Exchange() int { return int(min(max(z, Kicking), Pocket) - Kicking) }

// Threat is what an onset looks like to the one who has to do something about it.
type Threat uint8

// The threats.
const (
	Straight Threat = iota
	Looping
	LowKick
	BodyKick
	HighKick
	FrontKick
	Close
	Shot
	NumThreats
)

var threatNames = [NumThreats]string{"straight", "looping", "low_kick", "body_kick", "high_kick", "front_kick", "close", "shot"}

func (t Threat) String() string { return threatNames[t] }

// Cue is the part of the body whose first movement is read; feints exist for each.
type Cue uint8

// The cues.
const (
	Hand Cue = iota
	Hip
	LegCue
	Level
	NumCues
)

var cueNames = [NumCues]string{"hand", "hip", "leg", "level"}

func (c Cue) String() string { return cueNames[c] }

// Cue gives the cue that a threat shows.
func (t Threat) Cue() Cue {
	return [NumThreats]Cue{Hand, Hand, LegCue, Hip, Hip, LegCue, LegCue, Level}[t]
}

// Response is what a fighter tries to do about an onset that they believe.
type Response uint8

// The responses, in the order of their names.
const (
	Absorb Response = iota
	BrushDown
	Catch
	Check
	Duck
	GuardHigh
	GuardLow
	HandFight
	LongGuard
	Parry
	Pull
	Sidestep
	Slip
	Smother
	Sprawl
	StepBack
	StrikeFirst
	WithdrawLeg
	NumResponses
)

var responses = [NumResponses]struct {
	name    string
	defence tape.Defence
}{
	{"absorb", tape.DefenceNone}, {"brush_down", tape.BrushDown}, {"catch", tape.Catch}, {"check", tape.Check},
	{"duck", tape.Duck}, {"guard_high", tape.Guard}, {"guard_low", tape.Guard}, {"hand_fight", tape.DefenceHandFight},
	{"long_guard", tape.DefenceLongGuard}, {"parry", tape.Parry}, {"pull", tape.Pull}, {"sidestep", tape.Sidestep},
	{"slip", tape.Slip}, {"smother", tape.Smother}, {"sprawl", tape.Sprawl}, {"step_back", tape.DefenceStepBack},
	{"strike_first", tape.StrikeFirst}, {"withdraw_leg", tape.WithdrawLeg},
}

func (r Response) String() string { return responses[r].name }

// Defence gives the word that a coder writes for the response.
func (r Response) Defence() tape.Defence { return responses[r].defence }

// Survival is what a fighter tries when hurt or down, or with a kick caught.
type Survival uint8

// The ways to survive, in the order of their names.
const (
	SurviveFrame Survival = iota // a caught leg: an arm held out against the catcher
	SurviveGetUp
	SurviveHop // a caught leg: balanced on the other
	SurviveFence
	SurviveMoveAway
	SurvivePullFree // a caught leg
	SurviveShell
	SurviveStayDown
	SurviveSwingBack
	SurviveTieUp
	NumSurvivals
)

var survivalNames = [NumSurvivals]string{"frame", "get_up", "hop", "make_for_fence", "move_away", "pull_free", "shell", "stay_down", "swing_back",
	"tie_up"}

func (s Survival) String() string { return survivalNames[s] }

// Hold is what a fighter does who has caught a kick.
type Hold uint8

// What can be done with a caught leg, in the order of their names.
const (
	HoldDrive Hold = iota
	HoldLetGo
	HoldPunch
	HoldSweep
	NumHolds
)

var holdNames = [NumHolds]string{"drive", "let_go", "punch", "sweep"}

func (h Hold) String() string { return holdNames[h] }

// Family groups acts that share a skill.
type Family uint8

// The families. Each has an attack and a defence figure.
const (
	StraightPunch Family = iota
	LoopingPunch
	LowKicks
	HighKicks // kicks above the waist
	CloseStrike
	OnGround
	Takedown
	LeadHand // hand-fighting
	Submissions
	NumFamilies
)

var familyNames = [NumFamilies]string{"straight", "looping", "low_kick", "kick", "close", "ground", "takedown", "hand_fight", "submission"}

func (f Family) String() string { return familyNames[f] }

// FamilyOf gives the family whose skill an act uses, and whether it uses any.
func FamilyOf(a tape.Act) (Family, bool) {
	switch a {
	case tape.Jab, tape.Cross:
		return StraightPunch, true
	case tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut, tape.Spin:
		return LoopingPunch, true
	case tape.LowKick:
		return LowKicks, true
	case tape.FrontKick, tape.SideKick, tape.BodyKick, tape.HighKick:
		return HighKicks, true
	case tape.Knee, tape.Elbow:
		return CloseStrike, true
	case tape.GroundStrike:
		return OnGround, true
	case tape.Shoot, tape.Trip, tape.Sweep:
		return Takedown, true
	case tape.HandFight:
		return LeadHand, true
	case tape.Submission:
		return Submissions, true
	}
	return 0, false
}

// ThreatOf gives what an attack's onset looks like; a feint looks like the attack it imitates.
func ThreatOf(a tape.Act) Threat {
	switch a {
	case tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut, tape.Spin:
		return Looping
	case tape.LowKick, tape.FeintLeg:
		return LowKick
	case tape.BodyKick, tape.FeintHip:
		return BodyKick
	case tape.HighKick:
		return HighKick
	case tape.FrontKick, tape.SideKick:
		return FrontKick
	case tape.Knee, tape.Elbow:
		return Close
	case tape.Shoot, tape.Trip, tape.Sweep, tape.FeintLevel:
		return Shot
	}
	return Straight
}
