package calibrate

import "whatbout/fighter"

// JointFile is the name of the joint part beside the profiles, which they name.
const JointFile = "joint.yaml"

// Joint gives the skills of everybody on the tape together, a block a family, for drawing those of two people who met, or who met the
// same others.
func (r *Result) Joint() (*fighter.Joint, error) {
	var blocks []fighter.Block
	for _, fit := range r.Skills {
		blocks = append(blocks, fighter.Block{Name: fit.Family.String(), Names: fit.Names, Mean: fit.Mean, Cov: fit.Cov})
	}
	return fighter.NewJoint(blocks)
}
