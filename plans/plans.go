// Package plans holds named rules in a coach's phrases, ready to use or to copy: one short plan a file, each in the form that
// tactics.Read reads. It decides only what the phrases say; their multiples are judgements of how hard a coach would lean on them, not
// measurements. Which of them to combine is left to the caller.
package plans

import (
	"embed"
	"fmt"
	"strings"
)

//go:embed *.yaml
var files embed.FS

// Names lists the plans in the order of their names: words joined by hyphens.
func Names() []string {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic("plans: " + err.Error()) // the folder is part of the program
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = strings.TrimSuffix(e.Name(), ".yaml")
	}
	return names
}

// Read gives the file of a named plan. The error says that there is none of that name.
func Read(name string) ([]byte, error) {
	data, err := files.ReadFile(name + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("there is no named plan %q", name)
	}
	return data, nil
}
