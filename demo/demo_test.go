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
	"tape/badger-otter/events.csv": "1b1f23861fa131f44eb0a0e10fff8c5560e653a438341b29b4a1c1ddc28c1313",
	"tape/lynx-badger/events.csv":  "7a1fdb343c3ca24875732dde44f26ffb3d94f7e2fdea2344f9ab148d2c939649",
	"tape/badger-stork/events.csv": "116383ebb75e082a58928686d62af0cb86532041b3a232cf1cb24f679dad7859",
	"tape/heron-lynx/events.csv":   "1d4aba46ad5de25533cd16a62cb00fe2abd42e1f84b265d8a40d5fccfba020f8",
	"tape/otter-heron/events.csv":  "48c6ac4a058fb9e2103451592fe5e8d08ce3fd6a4088eb6242f4ecdc5badde88",
	"tape/heron-stork/events.csv":  "ebaaf236b4027432c6ccf0d373e2a0e3abe4d819ac3ba0b3578e56aa92c87b91",
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
