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
	"tape/badger-otter/events.csv": "7f5e360b194bbf124d63047a56950a4198652e42fbe050175df7b12c0bbc04e3",
	"tape/lynx-badger/events.csv":  "e065952a721056498802742e4322e5631150f2d54d217a4e0f017e7ec87ce2df",
	"tape/badger-stork/events.csv": "4d6fdbba2f24edb9ffdf00978a9fed1731e54b00bc0c1e46319103497809d4d5",
	"tape/heron-lynx/events.csv":   "44e172806c7ff7f9ce5766d0605e8ee8b851a045fc7b774f4f301f0496046a22",
	"tape/otter-heron/events.csv":  "47b09326536a517b579f41f8905675421568f74145096c543cbb9e278d71ae6f",
	"tape/heron-stork/events.csv":  "92fd331a6b27667952d289345d30b9dcc64fff536111d9eed0fc9fbdad027384",
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
