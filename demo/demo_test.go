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
	"tape/badger-otter/events.csv": "26cee69be7a11a10811fa07f867ed0011fbcafb179115e0caaf3117a57d564e1",
	"tape/lynx-badger/events.csv":  "84d78ab95d04e207a7e1efdcfc3f69c7ec9b9c887591466eeaf26233bf50f60b",
	"tape/badger-stork/events.csv": "464728981a3cc3b3b0eef892112d0d54bb73b2023f5f14b9f94f1c09b7d36077",
	"tape/heron-lynx/events.csv":   "30f182a4a3d7659478773207fce041e4c6c4360ca6ab17b51eb0197cc7897e54",
	"tape/otter-heron/events.csv":  "209da80aabfcce1ac90f00e45a0456fe2fc3e20fae2f2b546bc8d8164fb3117b",
	"tape/heron-stork/events.csv":  "63066ff3e4e637c8f3154d9e147219ac18bf012b4b85c0f690dcd6126a3a3268",
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
