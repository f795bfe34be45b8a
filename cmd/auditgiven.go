package cmd

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
)

// profiles reads profiles, and the joint part if all name the same one.
func (g *given) profiles(files []string) (map[string]*fighter.Profile, *fighter.Joint) {
	out := map[string]*fighter.Profile{}
	parts := map[string]bool{}
	for _, file := range files {
		p := g.profile("", file)
		if p == nil {
			continue
		}
		if out[p.ID] != nil {
			g.faults = append(g.faults, fmt.Errorf("%s: another profile of %q was given; name each fighter's once", file, p.ID))
		}
		out[p.ID] = p
		part := ""
		if p.JointFile != "" {
			part = filepath.Join(filepath.Dir(file), p.JointFile)
		}
		parts[part] = true
	}
	if parts[""] || len(parts) != 1 {
		if len(parts) > 1 {
			g.notes = append(g.notes, "the profiles name no common joint part: what their skills share is not known, and they are drawn apart.")
		}
		return out, nil
	}
	for part := range parts {
		return out, g.jointOf(part, out)
	}
	return out, nil
}

// jointOf reads the joint part and holds every profile against it.
func (g *given) jointOf(file string, profiles map[string]*fighter.Profile) *fighter.Joint {
	data := g.open("", file)
	if data == nil {
		return nil
	}
	joint, err := fighter.ReadJoint(file, data)
	if err != nil {
		g.faults = append(g.faults, err)
		return nil
	}
	for _, id := range slices.Sorted(maps.Keys(profiles)) {
		_, err := fighter.JoinPair(profiles[id], &fighter.Profile{}, joint)
		g.faults = append(g.faults, err)
	}
	return joint
}

// folder notes the hashes of a folder's files.
func (g *given) folder(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") || strings.HasPrefix(e.Name(), "~$") {
			continue
		}
		file := filepath.Join(dir, e.Name())
		data, err := input.ReadFile(file, 64<<20)
		if err != nil {
			return err
		}
		g.inputs = append(g.inputs, report.Input{Name: file, SHA256: input.SHA256(data)})
	}
	return nil
}
