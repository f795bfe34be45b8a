package demo

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

var update = flag.Bool("update", false, "make the demo's tape again")

// The tape is frozen: it is what the engine made of the truths on the day it was recorded, byte for byte.
var frozen = map[string]string{
	"tape/badger-otter/events.csv": "0e2f9eccced2a963db9cfc438fc68a6cdb775ba00ecd3c2c6a7aa23570fb91da",
	"tape/lynx-badger/events.csv":  "e2758ee7c1532627a2550debd8115e320c8dc4820ec411257a29006200819362",
	"tape/badger-stork/events.csv": "1ee03efc9eae5a3aef667e98dbbffb325f99231172b42e3b5c11891623794775",
	"tape/heron-lynx/events.csv":   "b467277fefded3c5ded4c95d2b082c71beddf72745424e2a33cb9bc651f750d0",
	"tape/otter-heron/events.csv":  "2d48cd090b20c36a10800a046ab12c3a596d901d9fe9cd1ea96fd6b610ffa2a5",
	"tape/heron-stork/events.csv":  "f6fb48b2901ae6290cc330145dc31eae748783431627e57c73c9995ba78e7431",
}

func TestTapeIsFrozen(t *testing.T) {
	if *update {
		for i, b := range bouts {
			coding, err := Coded(i)
			require.NoError(t, err)
			require.NoError(t, tape.WriteBout("tape/"+name(b), coding.Bout, []*tape.Coding{coding}))
			data, err := os.ReadFile("tape/" + name(b) + "/events.csv")
			require.NoError(t, err)
			fmt.Printf("\t%q: \"%x\",\n", "tape/"+name(b)+"/events.csv", sha256.Sum256(data))
		}
		return
	}
	inputs, err := Inputs()
	require.NoError(t, err)
	require.Len(t, frozen, len(bouts))
	for file, hash := range frozen {
		require.Equal(t, hash, fmt.Sprintf("%x", sha256.Sum256(inputs[file])), file)
	}
}

// The bodies that the truths fight with are those that bout.yaml gives, and the tape counts as the engine's: invented, as usual, all coded.
func TestBoutsSayWhoFought(t *testing.T) {
	codings, err := Tape()
	require.NoError(t, err)
	require.Len(t, codings, len(bouts))
	for i, c := range codings {
		again, err := Coded(i)
		require.NoError(t, err)
		again.Bout.Files = c.Bout.Files // the engine writes none
		require.Equal(t, again.Bout, c.Bout)
	}
}

// Exact: calibrating everybody moves nothing of the two whose meeting the demo asks about, nor of how their skills depend on each other.
func TestEverybodyHoldsThePair(t *testing.T) {
	pair, err := Pair()
	require.NoError(t, err)
	all, joint, err := Everybody()
	require.NoError(t, err)
	require.Len(t, all, 5)
	require.Equal(t, string(fighter.WriteProfile(pair.Red)), string(fighter.WriteProfile(all[0])))
	require.Equal(t, string(fighter.WriteProfile(pair.Blue)), string(fighter.WriteProfile(all[1])))
	require.Equal(t, string(fighter.WriteJoint(pair.Joint.Of(Fighter, Opponent))), string(fighter.WriteJoint(joint.Of(Fighter, Opponent))))
}
