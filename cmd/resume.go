package cmd

import (
	"errors"

	"github.com/spf13/cobra"

	"whatbout/internal/keep"
	"whatbout/study"
)

// resumeFlag is for commands that play many bouts: a file in which played bouts are kept.
type resumeFlag struct {
	name string
	file *keep.File
}

func (r *resumeFlag) add(c *cobra.Command) {
	c.Flags().StringVar(&r.name, "resume", "", "keep what is played in this file, and play nothing again that is in it; never changes the result")
}

// open gives the store, nil without the flag.
func (r *resumeFlag) open() (study.Store, error) {
	if r.name == "" {
		return nil, nil
	}
	var err error
	if r.file, err = keep.Open(r.name); err != nil {
		return nil, inputError{err}
	}
	return kept{r.file}, nil
}

// close writes what is waiting; err is what the command ends with.
func (r *resumeFlag) close(err *error) {
	if r.file != nil {
		*err = errors.Join(*err, r.file.Close())
	}
}

type kept struct{ *keep.File }

func (k kept) Get(key study.Key) ([]byte, bool)      { return k.File.Get(key) }
func (k kept) Put(key study.Key, value []byte) error { return k.File.Put(key, value) }
