package fighter

import (
	"math"
	"math/big"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// profileOf gives a profile whose skills have the means and standard deviations of the joint part.
func profileOf(id string, j *Joint) *Profile {
	p := Population(id, AverageBody())
	for _, b := range j.Of(id).blocks {
		for i, name := range b.Names {
			_, f, _ := splitName(name)
			p.Figures[f] = Posterior{b.Mean[i], math.Sqrt(b.Cov.At(i, i))}
		}
	}
	return p
}

func pairOf(t testing.TB, red, blue string, j *Joint) *Pair {
	p, err := JoinPair(profileOf(red, j), profileOf(blue, j), j)
	require.NoError(t, err)
	return p
}

// Over n draws a sample mean has standard error sqrt(s_ii/n), and a sample covariance of normals sqrt((s_ii s_jj + s_ij²)/n) (Anderson
// 2003, theorem 3.4.4, from memory). With n = 20000 and 4.9 standard errors: the mean of badger.attack.straight (variance .04) within
// 4.9·sqrt(.04/20000) = .0069; its covariance of .018 with otter.defence.straight within 4.9·sqrt((.04·.06+.018²)/20000) = .0018, so
// that a covariance of 0 in its place would be ten times too far. Keeping 20 bits adds at most 1e-6.
func TestPairHasTheMomentsOfTheJoint(t *testing.T) {
	const n = 20000
	j := jointOf(t, threeWhoMet())
	p := pairOf(t, "badger", "otter", j)
	b := j.Of("badger", "otter").blocks[0]
	size := len(b.Names)
	require.Equal(t, 4, size)
	sums, products := make([]float64, size), make([][]float64, size)
	for i := range products {
		products[i] = make([]float64, size)
	}
	for k := range uint64(n) {
		red, blue := p.Draw(7, k, true)
		x := make([]float64, size)
		for i, name := range b.Names {
			id, f, _ := splitName(name)
			x[i] = map[string]Draw{"badger": red, "otter": blue}[id].Get(f) - b.Mean[i]
		}
		for i := range x {
			sums[i] += x[i]
			for l := range x {
				products[i][l] += x[i] * x[l]
			}
		}
	}
	for i := range size {
		require.InDelta(t, 0, sums[i]/n, 4.9*math.Sqrt(b.Cov.At(i, i)/n), b.Names[i])
		for l := range size {
			s := b.Cov.At(i, l)
			require.InDelta(t, s, products[i][l]/n, 4.9*math.Sqrt((b.Cov.At(i, i)*b.Cov.At(l, l)+s*s)/n), "%s, %s", b.Names[i], b.Names[l])
		}
	}
}

// With no covariances, or no joint part, the draws are those of the profiles to the bit.
func TestPairWithoutCovarianceIsTheProfiles(t *testing.T) {
	b := threeWhoMet()
	for i := range b.Names {
		for l := range i {
			b.Cov.SetSym(i, l, 0)
		}
	}
	j := jointOf(t, b)
	joined := pairOf(t, "badger", "otter", j)
	for _, p := range []*Pair{joined, {Red: joined.Red, Blue: joined.Blue}, {Red: joined.Red, Blue: joined.Blue, Joint: jointOf(t)}} {
		for k := range uint64(200) {
			red, blue := p.Draw(3, k, k%2 == 0)
			require.Equal(t, joined.Red.Draw(3, k, k%2 == 0), red)
			require.Equal(t, joined.Blue.Draw(3, k, k%2 == 0), blue)
		}
	}
}

// What never moves: figures that are not in the joint part, whatever is; and a pair's draws, whatever third fighters are in the file and
// whoever is red. What may move is a skill against another opponent: otter is drawn given badger, but not given vole.
func TestPairMovesNoOtherDraws(t *testing.T) {
	full := jointOf(t, threeWhoMet())
	p := pairOf(t, "badger", "otter", full)
	alone := pairOf(t, "badger", "otter", full.Of("otter", "badger"))
	swapped := pairOf(t, "otter", "badger", full)
	other := pairOf(t, "vole", "otter", full)
	joint := map[Figure]bool{Attack(StraightPunch): true, Defence(StraightPunch): true}
	for k := range uint64(50) {
		red, blue := p.Draw(5, k, true)
		for _, same := range [][2]Draw{both(alone.Draw(5, k, true)), reverse(swapped.Draw(5, k, true)), both(p.Draw(5, k, true))} {
			require.Equal(t, [2]Draw{red, blue}, same)
		}
		for f, x := range p.Red.Draw(5, k, true) {
			if !joint[Figure(f)] {
				require.Equal(t, x, red[f], definitions[f].Name)
			}
		}
		first := Attack(StraightPunch)
		require.Equal(t, p.Red.Draw(5, k, true)[first], red[first], "the first by name depends on no other's luck")
		require.NotEqual(t, p.Blue.Draw(5, k, true)[first], blue[first])
		_, elsewhere := other.Draw(5, k, true)
		require.NotEqual(t, elsewhere[first], blue[first])
	}
}

func both(red, blue Draw) [2]Draw    { return [2]Draw{red, blue} }
func reverse(red, blue Draw) [2]Draw { return [2]Draw{blue, red} }

// A plain twin: the textbook Cholesky–Banachiewicz recurrence (exact) in 200-bit arithmetic gives the same draws, from the z that are
// left when mean and standard deviation are taken off the profiles' own draws. Both draws keep 20 bits: 2^-21 of a value of at most
// .3 + 5·.3 each, carried through z (over the least standard deviation, .17) and L (at most .3), is below 4·2^-21·1.8·(1 + .3/.17) < 1e-5.
func TestPairAgainstAPlainTwin(t *testing.T) {
	j := jointOf(t, threeWhoMet())
	p := pairOf(t, "badger", "otter", j)
	b := j.Of("badger", "otter").blocks[0]
	l := plainCholesky(b)
	for k := range uint64(100) {
		own := map[string]Draw{"badger": p.Red.Draw(11, k, true), "otter": p.Blue.Draw(11, k, true)}
		red, blue := p.Draw(11, k, true)
		got := map[string]Draw{"badger": red, "otter": blue}
		var z []float64
		for i, name := range b.Names {
			id, f, _ := splitName(name)
			z = append(z, (own[id].Get(f)-b.Mean[i])/math.Sqrt(b.Cov.At(i, i)))
			want := b.Mean[i]
			for m := range i + 1 {
				want += l[i][m] * z[m]
			}
			require.InDelta(t, want, got[id].Get(f), 1e-5, name)
		}
	}
}

func plainCholesky(b Block) [][]float64 {
	n := len(b.Names)
	exact, out := make([][]*big.Float, n), make([][]float64, n)
	for i := range n {
		for k := range i + 1 {
			x := new(big.Float).SetPrec(200).SetFloat64(b.Cov.At(i, k))
			for m := range k {
				x.Sub(x, new(big.Float).Mul(exact[i][m], exact[k][m]))
			}
			if i == k {
				x.Sqrt(x)
			} else {
				x.Quo(x, exact[k][k])
			}
			exact[i] = append(exact[i], x)
			f, _ := x.Float64()
			out[i] = append(out[i], f)
		}
	}
	return out
}

func TestPairIsDrawnByManyAtOnce(t *testing.T) {
	p := pairOf(t, "badger", "otter", jointOf(t, threeWhoMet()))
	got := make([]Draw, 8)
	var wait sync.WaitGroup
	for i := range got {
		wait.Go(func() { _, got[i] = p.Draw(1, 2, true) })
	}
	wait.Wait()
	for _, d := range got {
		require.Equal(t, got[0], d)
	}
}

func TestOneFighterInBothCorners(t *testing.T) {
	p := pairOf(t, "badger", "badger", jointOf(t, threeWhoMet()))
	red, blue := p.Draw(1, 2, true)
	require.Equal(t, red, blue)
}

func TestJoinPairRefusesProfilesThatChanged(t *testing.T) {
	j := jointOf(t, threeWhoMet())
	red, blue := profileOf("badger", j), profileOf("otter", j)
	red.Figures[Attack(StraightPunch)].A += 2e-6
	blue.Figures[Defence(StraightPunch)].B -= 2e-6
	_, err := JoinPair(red, blue, j)
	for _, want := range []string{"the profile of badger was edited or calibrated again", "attack.straight is 0.220002 ± 0.2 in the profile and 0.22 ± 0.2",
		"the profile of otter was edited", "defence.straight is", "calibrate again, which writes both"} {
		require.ErrorContains(t, err, want)
	}
	red.Figures[Attack(StraightPunch)].A -= 1.5e-6
	blue.Figures[Defence(StraightPunch)].B += 1.5e-6
	_, err = JoinPair(red, blue, j)
	require.NoError(t, err, "5e-7 apart is the rounding of other programs")
	_, err = JoinPair(red, blue, nil)
	require.NoError(t, err)

	shrew := Population("shrew", AverageBody())
	_, err = JoinPair(shrew, blue, j)
	require.NoError(t, err, "somebody without tape may meet one with")
	shrew.JointFile = "joint.yaml"
	_, err = JoinPair(shrew, blue, j)
	require.ErrorContains(t, err, "the profile of shrew names joint.yaml, which has no figure of that id")
}

func TestDrawsAreSetByFigure(t *testing.T) {
	d := Population("badger", AverageBody()).Centre()
	f, ok := Named("attack.straight")
	require.True(t, ok)
	d.Set(f, .7)
	require.Equal(t, .7, d.Get(f))
}
