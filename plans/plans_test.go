package plans_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"whatbout/plans"
	"whatbout/tactics"
)

// Every named plan reads without a fault, compiles, says what it is for and survives being written.
func TestEveryPlan(t *testing.T) {
	for _, name := range plans.Names() {
		t.Run(name, func(t *testing.T) {
			data, err := plans.Read(name)
			require.NoError(t, err)
			p, err := tactics.Read(name+".yaml", data)
			require.NoError(t, err)
			_, err = tactics.Compile(p)
			require.NoError(t, err)
			assert.Equal(t, name, strings.ReplaceAll(strings.ReplaceAll(p.Name, ",", ""), " ", "-"))
			assert.NotEmpty(t, p.Intent)
			assert.NotEmpty(t, p.Rules)
			written, err := tactics.Write(p)
			require.NoError(t, err)
			assert.Equal(t, string(data), string(written), "a named plan stands in the form that Write gives")
		})
	}
}

// The list is the folder: nothing embedded is missing from it, and nothing else is embedded.
func TestNames(t *testing.T) {
	var want []string
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok {
			want = append(want, name)
		}
	}
	assert.Equal(t, want, plans.Names())
	assert.True(t, slices.IsSorted(plans.Names()))
	assert.GreaterOrEqual(t, len(plans.Names()), 30)
}

// Any two combine into a plan that compiles.
func TestPairsCombine(t *testing.T) {
	var all []*tactics.Plan
	for _, name := range plans.Names() {
		data, err := plans.Read(name)
		require.NoError(t, err)
		p, err := tactics.Read(name, data)
		require.NoError(t, err)
		all = append(all, p)
	}
	for i, a := range all {
		for _, b := range all[i+1:] {
			_, err := tactics.Compile(tactics.Combine(a.Name+" and "+b.Name, a, b))
			assert.NoError(t, err)
		}
	}
}

func TestReadUnknown(t *testing.T) {
	_, err := plans.Read("no such phrase")
	assert.EqualError(t, err, `there is no named plan "no such phrase"`)
}
