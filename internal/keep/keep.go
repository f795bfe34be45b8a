// Package keep holds results in a file beyond a run, by the hash of what they follow from. It decides how they lie in the file; what they mean
// is left to the caller. The file is that of a key-value library that survives being cut off at any moment: what was being written then is
// missing, and nothing else.
package keep

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

var bucket = []byte("whatbout.cells/1")

// File is an open file of results. Its methods may be called by many at once.
type File struct {
	db      *bolt.DB
	mu      sync.Mutex
	pending map[[sha256.Size]byte][]byte
	last    time.Time
}

// flushEvery bounds what being cut off can lose; a sync to disk a cell would take longer than playing it.
const flushEvery = 2 * time.Second

// Open opens or makes a file. It waits a second for another program that has it open. Close it, or the latest results are not kept.
func Open(name string) (*File, error) {
	db, err := bolt.Open(name, 0o600, &bolt.Options{Timeout: time.Second})
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return nil, fmt.Errorf("%s is open in another run; wait for it or name another file", name)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrVersionMismatch), errors.Is(err, berrors.ErrChecksum):
		return nil, fmt.Errorf("%s is not a file of kept bouts (%w); name another file, or take it away", name, err)
	case err != nil:
		return nil, fmt.Errorf("%s cannot be opened to keep bouts: %w", name, err)
	}
	if err := db.Update(func(tx *bolt.Tx) error {
		_, err := tx.CreateBucketIfNotExists(bucket)
		return err
	}); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", name, err), db.Close())
	}
	return &File{db: db, pending: map[[sha256.Size]byte][]byte{}, last: time.Now()}, nil
}

// Get gives what is kept under a key; false if nothing is, or if it is damaged.
func (f *File) Get(key [sha256.Size]byte) (value []byte, ok bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if v, waits := f.pending[key]; waits {
		return v, true
	}
	err := f.db.View(func(tx *bolt.Tx) error {
		v := tx.Bucket(bucket).Get(key[:])
		if len(v) < 4 || crc32.ChecksumIEEE(v[4:]) != fromBytes(v) {
			return os.ErrNotExist
		}
		value = append(value, v[4:]...)
		return nil
	})
	return value, err == nil
}

// Put keeps a value, which must not be changed afterwards. It is on disk after the next flush.
func (f *File) Put(key [sha256.Size]byte, value []byte) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.pending[key] = value
	if time.Since(f.last) < flushEvery {
		return nil
	}
	return f.flush()
}

func (f *File) flush() error {
	err := f.db.Update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucket)
		for key, value := range f.pending {
			if err := b.Put(key[:], append(toBytes(crc32.ChecksumIEEE(value)), value...)); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		clear(f.pending)
	}
	f.last = time.Now()
	return err
}

// Close writes what is waiting and closes the file.
func (f *File) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return errors.Join(f.flush(), f.db.Close())
}

func toBytes(x uint32) []byte { return []byte{byte(x), byte(x >> 8), byte(x >> 16), byte(x >> 24)} }

func fromBytes(b []byte) uint32 {
	return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24
}
