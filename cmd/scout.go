package cmd

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tape"
)

type scoutFlags struct {
	fighter, coding, format, vtt, population string
	all                                      bool
	level                                    float64
}

// scoutBouts is how many bouts the population plays; a share of a tenth in a common situation then has a standard error below half a point.
const scoutBouts = 300

const (
	scoutRate  = .05 // false discovery rate
	scoutShown = 12  // tendencies in text: two lines each
)

func scoutCommand() *cobra.Command {
	var f scoutFlags
	c := &cobra.Command{
		Use:   "scout BOUT_DIR... --fighter ID",
		Short: "What a fighter does in which situation, counted on coded tape, and where that differs from the population",
		Long: "Counts what a fighter does next by situation (own last act and its result, the other's act just met, a feint shown, back on the fence, a range\n" +
			"entered, early and late rounds), with intervals, the clips, and what differs from the population's own bouts; and what is begun more or less often\n" +
			"at the fence, with or without the centre and against the other stance than elsewhere at the same range. Nothing of the fighter is simulated.\n" +
			"With --vtt the clips become cues over the video; of several bouts each gets a file with its id in the name.",
		Example: "  whatbout init mine\n  whatbout scout mine/tape/* --fighter badger\n  whatbout scout mine/tape/badger-otter --fighter badger --vtt badger.vtt",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().StringVar(&f.fighter, "fighter", "", "id of the fighter to scout")
	c.Flags().StringVar(&f.coding, "coding", "", "name of the coding, where a folder has several (default: the first by name)")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().StringVar(&f.vtt, "vtt", "", "also write the clips as WebVTT cues to this file")
	c.Flags().StringVar(&f.population, "population", "", "population file to compare with (default: the program's own; see whatbout population)")
	c.Flags().BoolVar(&f.all, "all", false, "every tendency in text and cues, not just the first")
	c.Flags().Float64Var(&f.level, "level", .95, "level of the intervals")
	return c
}

func (f *scoutFlags) run(c *cobra.Command, args []string) error {
	switch {
	case f.fighter == "":
		return inputError{errors.New("whom to scout? expected --fighter with an id of the tape")}
	case f.format != "text" && f.format != "json" && f.format != "csv":
		return inputError{fmt.Errorf("--format %q; expected text, json or csv", f.format)}
	case !(f.level > .5 && f.level < 1):
		return inputError{errors.New("expected --level above 0.5 and below 1")}
	}
	out := &report.Scout{Schema: "whatbout.scout/1", Version: Version, Fighter: f.fighter, Level: f.level, FalseDiscoveryRate: scoutRate}
	tapes, codings, err := f.read(args, out)
	population := &given{}
	against := population.population(f.population)
	if err := errors.Join(append(population.faults, err)...); err != nil {
		return inputError{err}
	}
	out.Inputs = append(out.Inputs, population.inputs...)
	found, err := calibrate.Scout(tapes, f.fighter, scoutBouts, f.level, against)
	if err != nil {
		return inputError{err}
	}
	f.describe(out, found)
	if out.Places, err = calibrate.Places(codings, calibrate.Options{All: true, Population: against}, f.level, f.fighter); err != nil {
		return inputError{err}
	}
	if against != nil {
		out.Notes = append(out.Notes, fmt.Sprintf("the population is %s.", against.ID))
	}
	if f.vtt != "" {
		if err := f.cues(out); err != nil {
			return err
		}
	}
	switch f.format {
	case "json":
		return out.JSON(c.OutOrStdout())
	case "csv":
		return out.CSV(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}

// read reads every folder before anything is counted, so that all faults are listed, and notes the bouts that the fighter is in.
func (f *scoutFlags) read(dirs []string, out *report.Scout) (tapes []*calibrate.ScoutTape, counted []*tape.Coding, _ error) {
	var faults []error
	from := map[string]string{}
	for _, dir := range dirs {
		bout, codings, err := tape.ReadBoutDir(dir)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		coding, err := f.pick(dir, codings)
		if before, twice := from[bout.ID]; twice {
			err = errors.Join(err, fmt.Errorf("%s: bout %q stands in %s already; give each once", dir, bout.ID, before))
		}
		from[bout.ID] = dir
		if err != nil {
			faults = append(faults, err)
			continue
		}
		counted = append(counted, coding)
		tapes = append(tapes, &calibrate.ScoutTape{Name: bout.ID, Bout: bout, Events: coding.Events()})
		if bout.Fighters[0].ID == f.fighter || bout.Fighters[1].ID == f.fighter {
			faults = append(faults, f.note(out, dir, bout, coding.Name, len(codings)))
		}
	}
	return tapes, counted, errors.Join(faults...)
}

func (f *scoutFlags) pick(dir string, codings []*tape.Coding) (*tape.Coding, error) {
	var names []string
	for _, c := range codings {
		if c.Name == f.coding || f.coding == "" {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return nil, fmt.Errorf("%s: no coding %q; %s", dir, f.coding, input.DidYouMean(f.coding, names))
}

// note takes down a bout with the hashes of what was read of it.
func (f *scoutFlags) note(out *report.Scout, dir string, b *tape.Bout, coding string, codings int) error {
	for _, name := range []string{"bout.yaml", coding + ".csv"} {
		file := filepath.Join(dir, name)
		data, err := input.ReadFile(file, 64<<20)
		if err != nil {
			return err
		}
		out.Inputs = append(out.Inputs, report.Input{Name: file, SHA256: input.SHA256(data)})
	}
	opponent := b.Fighters[1].ID
	if opponent == f.fighter {
		opponent = b.Fighters[0].ID
	}
	out.Bouts = append(out.Bouts, report.ScoutBout{ID: b.ID, Coding: coding, Opponent: opponent, Usual: b.Usual, Kind: b.Kind, Invented: b.Invented, Bout: b})
	if codings > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("%s has %d codings; %q was counted.", dir, codings, coding))
	}
	if !b.Usual {
		out.Notes = append(out.Notes, fmt.Sprintf("bout %q is not marked usual; it is counted here all the same.", b.ID))
	}
	if b.Kind != "bout" {
		out.Notes = append(out.Notes, fmt.Sprintf("bout %q is %s.", b.ID, b.Kind))
	}
	return nil
}

func (f *scoutFlags) describe(out *report.Scout, s *calibrate.Scouting) {
	out.PopulationBouts, out.Situations, out.Looked, out.Tested = s.PopulationBouts, s.Situations, s.Looked, s.Tested
	for i := range s.Tendencies {
		out.Tendencies = append(out.Tendencies, tendency(&s.Tendencies[i]))
	}
	if !f.all {
		out.Limit = scoutShown
	}
	out.Notes = append(out.Notes,
		"the population is average fighters in simulated bouts, coded as this tape was: who differs from it may differ because of whom they met.",
		"q is of all comparisons together; those within one situation hang together, so that it is approximate.")
	if slices.ContainsFunc(out.Bouts, func(b report.ScoutBout) bool { return b.Invented }) {
		out.Notes = append(out.Notes, "some of the tape is invented.")
	}
}

func tendency(t *calibrate.Tendency) report.Tendency {
	out := report.Tendency{Situation: t.Situation, Does: t.Does, Unit: report.Moments, Count: t.Count, Of: t.Of, Share: t.Share,
		PopulationCount: t.PopulationCount, PopulationOf: t.PopulationOf, Population: t.Population(), Compared: t.Tested, P: t.P, Q: t.Q,
		Differs: t.Tested && t.Q <= scoutRate, Clips: []report.Clip{}}
	if t.Rate {
		out.Unit = report.Minutes
	}
	if t.PopulationOf > 0 {
		d := t.Difference
		out.Difference = &d
	}
	for _, c := range t.Clips {
		out.Clips = append(out.Clips, report.Clip{Bout: c.Bout, Round: c.Round, Clock: report.ClockOf(c.Clock), At: c.Clock})
	}
	return out
}

var noFileName = regexp.MustCompile(`[^A-Za-z0-9._-]+`)

func (f *scoutFlags) cues(out *report.Scout) error {
	var ids []string
	for i := range out.Bouts {
		ids = append(ids, out.Bouts[i].ID)
	}
	return cueFiles(f.vtt, ids, func(w io.Writer, i int) error { return out.VTT(w, &out.Bouts[i]) })
}

// cueFiles writes a file a bout, all or none; of several bouts, each has the bout's id in its name.
func cueFiles(file string, bouts []string, write func(w io.Writer, i int) error) error {
	files := map[string][]byte{}
	for i, id := range bouts {
		name := file
		if len(bouts) > 1 {
			ext := filepath.Ext(name)
			name = strings.TrimSuffix(name, ext) + "-" + noFileName.ReplaceAllString(id, "-") + ext
		}
		if files[name] != nil {
			return inputError{fmt.Errorf("two bouts would be written to %s; give them one by one", name)}
		}
		var text bytes.Buffer
		if err := write(&text, i); err != nil {
			return err
		}
		files[name] = text.Bytes()
	}
	return input.WriteFiles(files)
}
