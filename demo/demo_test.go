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
	"tape/badger-otter/events.csv": "3acc6fd46fcbc75628f07d670333fdf8d983f17c738a08e01b1111a52bf0dbbe",
	"tape/lynx-badger/events.csv":  "1927fbc1c940fe9a5d5acae7c199f8a07ffc80b2690c5cef90f0a51f4fc0e211",
	"tape/badger-stork/events.csv": "8cf47ef308bec9227fdec96f20c0b02510affa4c543be857d1de06e65c15ee49",
	"tape/heron-lynx/events.csv":   "8fce325dc9d58c3f4098f77ff34eb8639f3e87a06e6896fb9dd9aace1e809bcd",
	"tape/otter-heron/events.csv":  "058c2cad0e725eb9acc183c7952118ebe14074e5639692d1ce7457a66b0d26d8",
	"tape/heron-stork/events.csv":  "6b574bb7737a5f3f12dad86c5b6e86f0fd851430c1f0b1849533a921475d14db",
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
