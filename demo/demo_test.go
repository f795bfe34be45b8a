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
	"tape/badger-otter/events.csv": "2d3651f688bdc6b7c0e9689b4c624bcc4385a2939802015dd81d671512c68c03",
	"tape/lynx-badger/events.csv":  "1b50c0818050f3464effbe725f4fd9771f48c6205d51e62d3e5e24795d301849",
	"tape/badger-stork/events.csv": "a2986703c2a8c9a04d682acad09764e1463c26e394f75a161db8851a76211c18",
	"tape/heron-lynx/events.csv":   "249a1579726308ba70b120c84e2c83ccdb1969c50891c05fd6a697da44be84b1",
	"tape/otter-heron/events.csv":  "9a73b66eb06e9a0b4d992144b0c0144554a9ea67647f7faba840bd6efa2bc7dc",
	"tape/heron-stork/events.csv":  "7a810fca1fce45f0288ffe01a8333f9bf705f1fdb989f4458271463f44a2202e",
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
