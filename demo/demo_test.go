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
	"tape/badger-otter/events.csv": "a61fa4f99c599ff3ffccd05943fd2be01f49996c4738667bd046c4e810e35b12",
	"tape/lynx-badger/events.csv":  "04ee7debfe8ba2996ae2a8e079c4a519b82710e012ad2465302025495f1d17a2",
	"tape/badger-stork/events.csv": "46a4eebe7b1528674d9cc67c181728e284f26cd05b4440a6b1e629a042979b0a",
	"tape/heron-lynx/events.csv":   "101fe752d04395a5f8b2cea28ec6f855dc8149e7da3fd0e15d8168413ebb5669",
	"tape/otter-heron/events.csv":  "8061e96308d0536422549ad0d32e0ba20b62551ab1afbacb76912c988d59f50e",
	"tape/heron-stork/events.csv":  "6ca28f56e247d71b552dce3f9f0a65cb9b60fe760da496010ee8716cc27b68cc",
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
