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
	"tape/badger-otter/events.csv": "2e768780f54e9e6ae9c0f5afd4deeb117e26565542d814f1f16a4e53c4f606a8",
	"tape/lynx-badger/events.csv":  "950f02da55ea212b69f9b080b67d6f34aabc65f3e0125c24d08ec8d5616e1735",
	"tape/badger-stork/events.csv": "5a9e89ab10e3f6b3ef3e92c4a7818c8e3550a20886548ed61d690d64734d4da7",
	"tape/heron-lynx/events.csv":   "dce54e471beceb56b8eb8a3d976167b89897c0165ab67b831cd57ea117bd02a6",
	"tape/otter-heron/events.csv":  "5a4c9618bc745a6917189b17d0c23592375042bcbf8292d6e90a23e174d578ff",
	"tape/heron-stork/events.csv":  "1aab2686d7bc9433839a7a515865740da7209fd15fc376b17ba1b03fb0aca209",
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
