package fighter

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"whatbout/internal/input"
)

// blockOf gives a block with that lower triangle.
func blockOf(name string, names []string, mean []float64, rows ...[]float64) Block {
	b := Block{name, names, mean, mat.NewSymDense(len(rows), nil)}
	for i, row := range rows {
		for k, x := range row {
			b.Cov.SetSym(i, k, x)
		}
	}
	return b
}

func jointOf(t testing.TB, blocks ...Block) *Joint {
	j, err := NewJoint(blocks)
	require.NoError(t, err)
	return j
}

// threeWhoMet is a block of badger, otter and vole, deliberately not in the order of the names.
func threeWhoMet() Block {
	return blockOf("straight",
		[]string{"vole.attack.straight", "badger.attack.straight", "otter.defence.straight", "badger.defence.straight", "otter.attack.straight"},
		[]float64{.4, .22, -.1, .05, -.3},
		[]float64{.05},
		[]float64{.012, .04},
		[]float64{-.004, .018, .06},
		[]float64{.006, .002, .001, .03},
		[]float64{.009, -.003, -.005, .014, .09})
}

func TestNamesComeApartInOneWay(t *testing.T) {
	for _, d := range definitions {
		id, f, ok := splitName("st.badger 2." + d.Name)
		require.True(t, ok, d.Name)
		require.Equal(t, "st.badger 2", id)
		require.Equal(t, d.Name, definitions[f].Name)
	}
	for _, name := range []string{"", "badger", "attack.straight", ".attack.straight", "badger.attack.straights"} {
		_, _, ok := splitName(name)
		require.False(t, ok, name)
	}
}

func TestJointRefusesAllThatIsWrong(t *testing.T) {
	nan := math.NaN()
	_, err := NewJoint([]Block{
		{Name: "empty"},
		{Name: "sizes", Names: []string{"badger.attack.straight"}, Mean: []float64{0, 0}, Cov: mat.NewSymDense(1, []float64{1})},
		blockOf("names", []string{"badger.attack.strait", "badger.chin"}, []float64{0, 0}, []float64{1}, []float64{0, 1}),
		blockOf("numbers", []string{"badger.attack.kick", "otter.attack.kick"}, []float64{nan, 11}, []float64{nan}, []float64{0, 101}),
		blockOf("dependent", []string{"badger.attack.close", "otter.attack.close"}, []float64{0, 0}, []float64{1}, []float64{2, 4}),
		blockOf("twice", []string{"badger.attack.ground"}, []float64{0}, []float64{1}),
		blockOf("twice", []string{"badger.attack.ground"}, []float64{0}, []float64{1}),
	})
	for _, want := range []string{`"empty": names, means`, `"sizes": names, means`, `did you mean "attack.straight"?`, "badger.chin: is not a skill",
		"a mean of NaN", "a mean of 11", "a variance of NaN", "a variance of 101", "otter.attack.close: the covariance up to this row",
		"badger.attack.ground stands twice", "block twice stands twice"} {
		require.ErrorContains(t, err, want)
	}
}

// The first row at which a covariance stops being positive definite is the one named: by Sylvester's criterion (exact) the first whose
// leading minor is not positive; here the minors are 1, 1-.25 = .75 and (1-.25) - .5(.5+.45) + .9(-.25-.9) = -.76.
func TestJointNamesTheRowThatCannotBe(t *testing.T) {
	names := []string{"badger.sense.hand", "otter.sense.hand", "vole.sense.hand", "shrew.sense.hand"}
	_, err := NewJoint([]Block{blockOf("hand", names, make([]float64, 4), []float64{1}, []float64{.5, 1}, []float64{.9, -.5, 1}, []float64{0, 0, 0, 1})})
	require.ErrorContains(t, err, "vole.sense.hand: the covariance")
	require.NotContains(t, err.Error(), "shrew")
}

// Leaving out rows and columns is marginalising (exact for normal vectors).
func TestMarginIsTheSubBlock(t *testing.T) {
	full := jointOf(t, threeWhoMet(), blockOf("kick", []string{"vole.attack.kick"}, []float64{0}, []float64{.04}))
	got := full.Of("otter", "badger").Blocks()
	require.Len(t, got, 1, "the block of a third fighter alone is gone")
	want := blockOf("straight",
		[]string{"badger.attack.straight", "badger.defence.straight", "otter.attack.straight", "otter.defence.straight"},
		[]float64{.22, .05, -.3, -.1},
		[]float64{.04},
		[]float64{.002, .03},
		[]float64{-.003, .014, .09},
		[]float64{.018, .001, -.005, .06})
	require.Equal(t, want.Names, got[0].Names)
	require.Equal(t, want.Mean, got[0].Mean)
	require.True(t, mat.Equal(want.Cov, got[0].Cov))
	require.Empty(t, full.Of("shrew").Blocks())
}

// anyBlocks draws blocks of up to six figures each, with covariance B·Bᵀ + 0.01, which is positive definite (exact), and odd ids.
func anyBlocks(t *rapid.T) []Block {
	ids := rapid.SliceOfNDistinct(rapid.StringOfN(rapid.RuneFrom([]rune("ab. :#'\"-é7")), 1, 6, -1), 1, 4, rapid.ID).Draw(t, "ids")
	var blocks []Block
	for _, family := range []Family{StraightPunch, HighKicks, Submissions}[:rapid.IntRange(0, 3).Draw(t, "blocks")] {
		var names []string
		for _, id := range ids {
			names = append(names, id+"."+Define(Attack(family)).Name, id+"."+Define(Defence(family)).Name)
		}
		names = rapid.Permutation(names).Draw(t, "names")[:rapid.IntRange(1, len(names)).Draw(t, "figures")]
		n := len(names)
		mean := rapid.SliceOfN(rapid.Float64Range(-3, 3), n, n).Draw(t, "mean")
		root := mat.NewDense(n, n, rapid.SliceOfN(rapid.Float64Range(-1, 1), n*n, n*n).Draw(t, "root"))
		cov := mat.NewSymDense(n, nil)
		cov.SymOuterK(1, root)
		for i := range n {
			cov.SetSym(i, i, cov.At(i, i)+.01)
		}
		blocks = append(blocks, Block{rapid.StringOfN(rapid.RuneFrom([]rune("xy :#")), 1, 5, -1).Draw(t, "block") + family.String(), names, mean, cov})
	}
	return blocks
}

func TestJointFileRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks := anyBlocks(t)
		j, err := NewJoint(blocks)
		require.NoError(t, err)
		data := WriteJoint(j)
		back, err := ReadJoint("joint.yaml", data)
		require.NoError(t, err, string(data))
		require.Equal(t, data, WriteJoint(back))
		require.Len(t, back.blocks, len(j.blocks))
		for i, b := range j.blocks {
			require.Equal(t, b.Names, back.blocks[i].Names)
			require.Equal(t, b.Mean, back.blocks[i].Mean)
			require.True(t, mat.Equal(b.Cov, back.blocks[i].Cov))
		}
		var shuffled []Block
		for _, b := range rapid.Permutation(blocks).Draw(t, "order of blocks") {
			order := make([]int, len(b.Names))
			for i := range order {
				order[i] = i
			}
			shuffled = append(shuffled, b.pick(rapid.Permutation(order).Draw(t, "order of names")))
		}
		again, err := NewJoint(shuffled)
		require.NoError(t, err)
		require.Equal(t, string(data), string(WriteJoint(again)), "order shows in the file")
	})
}

func TestJointFileFaultsAreAllListed(t *testing.T) {
	_, err := ReadJoint("j.yaml", []byte(`format: whatbout.joint/1
block: {}
blocks:
  straight:
    badger.attack.straight: {mean: 12, cov: [0.04]}
    otter.attack.straight: {mean: 0, cov: [0.04]}
    vole.attack.straight: {mean: 0, cov: [0.01, x, 0.04]}
  kick:
    badger.attack.kicks: {mean: 0, cov: [0.04]}
    badger.chin: {mean: 0, cov: [0, 0]}
  close:
    badger.attack.close: {mean: 0, cov: [1]}
    otter.attack.close: {mean: 0, cov: [1, 1]}
  ground:
    badger.attack.close: {mean: 0, cov: 0.09}
  takedown: {}
`))
	var got []string
	for _, f := range err.(input.Faults) {
		got = append(got, fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.What))
	}
	for _, want := range []string{
		`2:1 unknown key "block"`,
		`5:36 mean is "12"`,
		`6:43 otter.attack.straight has 1 covariances`,
		`7:49 cov is "x"`,
		`9:27 badger.attack.kicks: is no fighter's id and figure; did you mean "attack.kick"?`,
		`10:19 badger.chin: is not a skill in log-odds, and only those are jointly normal`,
		`10:19 badger.chin: a variance of 0 where 1e-06 to 100 was expected`,
		`13:26 otter.attack.close: the covariance up to this row is not positive definite, or too nearly not: no skills can vary together like this`,
		`15:27 badger.attack.close stands in two blocks`,
		`16:3 a block without figures`,
	} {
		require.Contains(t, got, want, strings.Join(got, "\n"))
	}
	require.Len(t, got, 10, strings.Join(got, "\n"))
	_, err = ReadJoint("j.yaml", nil)
	require.Error(t, err)
	_, err = ReadJoint("j.yaml", []byte("format: whatbout.joint/1\n"))
	require.ErrorContains(t, err, `"blocks" is missing`)
}

func FuzzJoint(f *testing.F) {
	f.Add(string(WriteJoint(jointOf(f, threeWhoMet()))))
	f.Add("format: whatbout.joint/1\nblocks: {x: {a.sense.hip: {mean: 0, cov: [1e-9]}}}\n")
	f.Add("format: whatbout.joint/1\nblocks: {x: {a.sense.hip: {mean: 0, cov: 1}, b.bite.hip: {mean: 1, cov: [1, 1]}}}\n")
	f.Fuzz(func(t *testing.T, s string) {
		j, err := ReadJoint("f.yaml", []byte(s))
		if err != nil {
			return
		}
		back, err := ReadJoint("g.yaml", WriteJoint(j))
		if err != nil || !slices.Equal(WriteJoint(j), WriteJoint(back)) {
			t.Fatalf("what was read does not come back: %v", err)
		}
	})
}
