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
	"tape/badger-otter/events.csv": "2c96199b2e22aafb642a913a3a682bda788a8a5615bf8380e807b4107127a07e",
	"tape/lynx-badger/events.csv":  "fb35fecd68f1359537a0b1c88951d972c3e82e6dc32b73087979448edb722388",
	"tape/badger-stork/events.csv": "555014ef38d6cc9c3976355795f79e5ff97e992c1b407fb2553b9b99acf5deb8",
	"tape/heron-lynx/events.csv":   "634b487e3be8cb9cc1ee61b1963f163bdc25583990ac5c66e7b9c328e17f1a17",
	"tape/otter-heron/events.csv":  "79fa4785809de5916527162f5e3c611a2be560620c9922639a401c1d2fb5efa0",
	"tape/heron-stork/events.csv":  "3fa59af4c4e4dfee3316df956d1d2201fd8031ba7cb3f26efef953be8b17d480",
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
