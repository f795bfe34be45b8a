package fighter

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/mat"

	"whatbout/internal/input"
)

// JointFormat is the value of format in a joint file.
const JointFormat = "whatbout.joint/1"

// ReadJoint reads a joint part (YAML, format whatbout.joint/1); file only names it in faults. A figure's row holds its covariances with
// the figures above it in the block and, last, its variance; figures may stand in any order. The error lists all faults (input.Faults).
func ReadJoint(file string, data []byte) (*Joint, error) {
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Known("format", "blocks")
	root.Word("format", JointFormat)
	in := root.Map("blocks")
	var blocks []Block
	seen := map[string]bool{}
	for _, name := range in.Keys() {
		row := in.Map(name)
		b, whole := readBlock(doc, name, row)
		for _, figure := range b.Names {
			if seen[figure] {
				row.Fault(figure, fmt.Sprintf("%s stands in two blocks", figure), "a figure in one block", "")
			}
			seen[figure] = true
		}
		if !whole {
			continue
		}
		for _, w := range b.wrongs() {
			row.Fault(b.Names[w.row], fmt.Sprintf("%s: %s", b.Names[w.row], w.what), "", "")
		}
		blocks = append(blocks, b)
	}
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return NewJoint(blocks)
}

// readBlock reads the rows of a block, and whether all were there to be checked further.
func readBlock(doc *input.Doc, name string, m input.Map) (Block, bool) {
	b := Block{Name: name, Names: m.Keys()}
	before := len(doc.Faults())
	if m.OK() && len(b.Names) == 0 {
		m.Fault("", "a block without figures", "at least one figure", "")
	}
	var rows [][]float64
	for i, figure := range b.Names {
		row := m.Map(figure)
		row.Known("mean", "cov")
		b.Mean = append(b.Mean, row.Float("mean", -mostSkill, mostSkill))
		clean := len(doc.Faults())
		cov := row.Floats("cov", -mostVariance, mostVariance)
		if len(cov) != i+1 && len(doc.Faults()) == clean && row.OK() {
			row.Fault("cov", fmt.Sprintf("%s has %d covariances", figure, len(cov)), fmt.Sprintf("%d: one with each figure up to itself", i+1), "")
		}
		rows = append(rows, cov)
	}
	if len(doc.Faults()) > before || len(rows) == 0 {
		return b, false
	}
	b.Cov = mat.NewSymDense(len(rows), nil)
	for i, row := range rows {
		for k, x := range row {
			b.Cov.SetSym(i, k, x)
		}
	}
	return b, true
}

// WriteJoint gives the file that ReadJoint reads as the same joint part, bit for bit; the order in which the figures came does not show.
// A file that ReadJoint takes (100,000 words and signs) holds some 300 figures in one block, or 100 in each of nine.
func WriteJoint(j *Joint) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\n# Skills that depend on each other, in log-odds: mean; covariances with the figures above, and the variance last.\n", JointFormat)
	if len(j.blocks) == 0 {
		b.WriteString("blocks: {}\n")
		return []byte(b.String())
	}
	b.WriteString("blocks:\n")
	for _, block := range j.blocks {
		fmt.Fprintf(&b, "  %s:\n", input.Scalar(block.Name))
		for i, name := range block.Names {
			var row []string
			for k := range i + 1 {
				row = append(row, input.Number(block.Cov.At(i, k)))
			}
			fmt.Fprintf(&b, "    %s: {mean: %s, cov: [%s]}\n", input.Scalar(name), input.Number(block.Mean[i]), strings.Join(row, ", "))
		}
	}
	return []byte(b.String())
}

// skillHint gives the nearest skill to what stands behind the first point of a name.
func skillHint(name string) string {
	_, figure, _ := strings.Cut(name, ".")
	var skills []string
	for _, d := range definitions {
		if d.Law == Skill {
			skills = append(skills, d.Name)
		}
	}
	return input.DidYouMean(figure, skills)
}
