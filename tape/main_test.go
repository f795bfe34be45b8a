package tape

import (
	"flag"
	"os"
	"testing"
)

// TestMain fixes the seed of the drawn bouts, rows and rule sets unless -rapid.seed asks for another.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.seed", "3"); err != nil {
		panic(err)
	}
	flag.Parse() // an explicit flag comes later and wins
	os.Exit(m.Run())
}
