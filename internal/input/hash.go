package input

import (
	"crypto/sha256"
	"encoding/hex"
)

// SHA256 gives the SHA-256 digest (FIPS 180-4) as 64 lower-case hexadecimal digits.
func SHA256(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
