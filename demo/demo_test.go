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
	"tape/lynx-badger/events.csv":  "8c66192f3692a147b74d9c6121dd6dca4413a0f77d3acd4b970a7f1b4aca6aab",
	"tape/badger-stork/events.csv": "a15233320959f4d369b36298ecdaf2be88fa94ded6f1ced1007f906fcf356f3d",
	"tape/heron-lynx/events.csv":   "30f182a4a3d7659478773207fce041e4c6c4360ca6ab17b51eb0197cc7897e54",
	"tape/otter-heron/events.csv":  "0e87226c367df3b480ce6565818fee29802f9986b5955d7093062d364abc2383",
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
