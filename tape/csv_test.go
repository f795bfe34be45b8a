package tape

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Reading and writing again loses no value.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 20).Draw(t, "rows")
		var events []Event
		clock := int64(0)
		for range n {
			clock += rapid.Int64Range(0, 20e6).Draw(t, "later")
			events = append(events, Event{
				Clock: clock, Round: 1, Corner: Corner(rapid.IntRange(0, 2).Draw(t, "corner")),
				Act: Act(rapid.IntRange(1, int(NumActs)-1).Draw(t, "act")), Value: Value(rapid.IntRange(0, int(NumValues)-1).Draw(t, "value")),
				Defence: Defence(rapid.IntRange(0, int(NumDefences)-1).Draw(t, "defence")),
				Result:  Result(rapid.IntRange(0, int(NumResults)-1).Draw(t, "result")),
			})
		}
		var b bytes.Buffer
		require.NoError(t, WriteCSV(&b, events))
		back, err := ReadCSV("x.csv", &b)
		require.NoError(t, err)
		require.Equal(t, events, back)
	})
}

func TestFaultsNameTheLine(t *testing.T) {
	_, err := ReadCSV("r.csv", strings.NewReader("round,clock,corner,act\n1,0:05.0,red,jab\n1,0:75.0,red,jab\n1,0:06.0,green,jabb\n1,0:01.0,red,cross\n"))
	require.ErrorContains(t, err, `r.csv:3: "0:75.0" is no clock`)
	require.ErrorContains(t, err, `r.csv:4: corner "green"`)
	require.ErrorContains(t, err, `r.csv:4: act "jabb"`)
	require.ErrorContains(t, err, `r.csv:5: the row is earlier`)
	_, err = ReadCSV("r.csv", strings.NewReader("round,clock,act\n"))
	require.ErrorContains(t, err, `column "corner" is missing`)
}

// Moves stand in the order of their names, because choices are made by inversion in that order.
func TestMovesInNameOrder(t *testing.T) {
	names := MoveNames()
	for i := 1; i < len(names); i++ {
		require.Less(t, names[i-1], names[i])
	}
	for m := range NumMoves {
		if m != NoMove && m != MoveSwitchStance {
			require.Equal(t, m, MoveOf(m.Act(), m.Value()))
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add("round,clock,corner,act\n1,0:05.0,red,jab\n")
	f.Add("round,clock,corner,act\n1,\"0:05")
	f.Fuzz(func(t *testing.T, s string) {
		_, _ = ReadCSV("f.csv", strings.NewReader(s))
	})
}
