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
	"tape/badger-otter/events.csv": "d7a5941e438ad226defad69f8a516c1ebc40449319e85ddf741c912f96b201f9",
	"tape/lynx-badger/events.csv":  "2e41710317713cfe633270bb6a8e2376fdbf13ddbff924e5923fc290fed47e6c",
	"tape/badger-stork/events.csv": "4d6fdbba2f24edb9ffdf00978a9fed1731e54b00bc0c1e46319103497809d4d5",
	"tape/heron-lynx/events.csv":   "b905cae3412682cd70d55ebbdf000281f7ed13f114f22bf5e73f0c2ce69d8ec1",
	"tape/otter-heron/events.csv":  "f8c5e4fbf62afeefd063fce4a416d6786db08050c2bdeaa8c25776e25c735341",
	"tape/heron-stork/events.csv":  "5389651428f3b3afd056c78441cb54a923058977ed4930dcafa71c175314f2d9",
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
