package demo

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

var update = flag.Bool("update", false, "make the demo's tape again")

// The tape is frozen: it is what the engine made of the truths on the day it was recorded, byte for byte.
var frozen = map[string]string{
	"tape/badger-otter/events.csv": "b82b245705fbc8943a1097a75e5a4a352e3d5fabbc9bd0cfdc4454634ca4bf94",
	"tape/lynx-badger/events.csv":  "6006a25407b5ce806eb8a24565ed77f45db4bc1d3c8bdf3ce2a085df49a76d34",
	"tape/badger-stork/events.csv": "8f4f5bf753c20a01078c3a02c96aa28cdfd68e9386bd735c6e099255ff234350",
	"tape/heron-lynx/events.csv":   "7764e0e3a13961da43bd49175d0fe3ceb02c919e54c4b8ca9f6bf843d3d2e253",
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
		require.Equal(t, again.Bout, c.Bout)
	}
}
