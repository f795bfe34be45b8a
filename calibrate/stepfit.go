package calibrate

import "whatbout/fighter"

// StepFit is how long a fighter's steps are and how much time they take, found by simulated moments: of all steps the one with which the
// fighter's own coded bouts, played again, come nearest to how the tape has the fighter in and between ranges, and to how soon steps end
// after what they followed. The first tells length, the second time; hardly anything tells of both.
type StepFit struct {
	Fighter string
	Ended   StepEnding
	Steps   float64           // own steps on the tape whose range was known at both ends
	Gaps    float64           // own steps that continued or answered something
	Clocks  float64           // s: how far the coder's clocks seem to be off by chance, standard deviation of an act's
	Length  fighter.Posterior // m: median, and spread of the logarithm
	Time    fighter.Posterior // multiple of the usual time: the same
	Told    [2]bool           // length, time: whether the tape tells it from the population's; what it does not tell stays there
	Speed   fighter.Posterior // m/s, of a step in: length over time, with what is believed of both
	Moments []StepMoment      // those that the coding shows
	clocks  clocks
}

// StepMoment is one figure of how a fighter moves between ranges.
type StepMoment struct {
	Name             string
	Coded            float64
	Population       float64 // simulated with the population's step
	Fitted           float64 // simulated with the fitted one
	Error            float64 // standard deviation of one such tape, of what is drawn for it and of the profiles
	StandardResidual float64 // coded less fitted, in those
}

// StepEnding says how the fit of a step ended.
type StepEnding string

// How the fit of a step ends. Only one that converged changes the profile.
const (
	StepConverged    StepEnding = "converged"
	StepUnfinished   StepEnding = "iterations exhausted"
	StepUnidentified StepEnding = "not identified: the tape does not tell it from the population's"
	StepUnseen       StepEnding = "no tape of ranges"
)

// apply moves the profile's figures, or leaves them at the population's.
func (f *StepFit) apply(p, usual *fighter.Profile) {
	seen, found := [2]float64{f.Steps, f.Gaps}, [2]fighter.Posterior{f.Length, f.Time}
	for k, figure := range strideOf {
		p.Figures[figure], p.Sources[figure], p.Seen[figure] = usual.Figures[figure], usual.Sources[figure], 0
		if f.Ended == StepConverged && f.Told[k] {
			p.Figures[figure], p.Sources[figure], p.Seen[figure] = found[k], fighter.FromTape, seen[k]
		}
	}
}
