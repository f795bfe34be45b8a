package tape

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fullCoding is about a quarter of an hour as it is coded: 2,500 rows of a jab a piece, with everything filled in.
func fullCoding() []byte {
	events := make([]Event, 2500)
	for i := range events {
		events[i] = Event{Round: uint8(1 + i/834), Clock: int64(i%834) * 350_000, Corner: Corner(i % 2), Act: Jab, Value: Head, Defence: Parry,
			Result: Missed, How: Set, Limb: Lead}
	}
	var out bytes.Buffer
	if err := WriteCSV(&out, events); err != nil {
		panic(err)
	}
	return out.Bytes()
}

func BenchmarkReadCoding(b *testing.B) {
	folder := folderOf(bookBout, string(fullCoding()))
	for b.Loop() {
		if _, _, err := ReadBoutFS(folder, "b"); err != nil {
			b.Fatal(err)
		}
	}
}

// A full coding is read in milliseconds and 200 in seconds: 3.2 ms and 0.7 s on one core of a server of 2026 (BenchmarkReadCoding); the
// bound leaves fifteen times that for a slow and busy machine.
func TestLibraryIsQuick(t *testing.T) {
	folder := folderOf(bookBout, string(fullCoding()))
	begin := time.Now()
	const bouts = 20
	for range bouts {
		_, codings, err := ReadBoutFS(folder, "b")
		require.NoError(t, err)
		require.Len(t, codings[0].Rows, 2500)
	}
	require.Less(t, time.Since(begin)/bouts*200, 10*time.Second, "for 200 bouts")
}
