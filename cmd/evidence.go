package cmd

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tape"
)

type evidenceFlags struct {
	format, vtt string
	full        bool
	population  []string
}

func evidenceCommand() *cobra.Command {
	var f evidenceFlags
	c := &cobra.Command{
		Use:   "evidence PROFILE.yaml FIGURE BOUT_DIR...",
		Short: "The rows of tape behind a figure of a profile, with round and clock",
		Long: `Lists the rows of tape behind a figure of a profile, as calibration counts them, with round and clock, and what each counted as: success
(the act, the choice, the attempt that came off), occasion (it could have been, and was not) or exposure (a round's free time). The
totals are held against what the profile says was seen, and the bouts against those that the profile says it was made from.

Of bouts coded by exchanges the rows are exchanges and samples: of a rate those led with the act, each with the part of it that is taken for
the figure (which hangs on all tape behind the profile, so give all of it), and the time sampled; of stepping back and of skills all
exchanges in which it was looked for, though they tell such figures through totals only, and the output says so.

Which bouts count, and how much old ones weigh, is taken from the profile. Figures are named as in the profile's file. With --vtt the rows
become cues over the video; of several bouts each gets a file with its id in the name.`,
		Example: "  whatbout init mine\n  whatbout evidence mine/profiles/heron.yaml initiate.long.jab mine/tape/*\n" +
			"  whatbout evidence mine/profiles/heron.yaml attack.straight mine/tape/heron-lynx --vtt straights.vtt",
		Args: func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(3)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, args[0], args[1], args[2:]) },
	}
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().StringVar(&f.vtt, "vtt", "", "also write the rows as WebVTT cues to this file")
	c.Flags().StringArrayVar(&f.population, "population", nil, standsHelp)
	c.Flags().BoolVar(&f.full, "full", false, "text with all rows, also those in which something else was chosen")
	return c
}

func (f *evidenceFlags) run(c *cobra.Command, file, name string, dirs []string) error {
	g := &given{}
	g.standOn(f.population)
	p := g.profile("", file)
	g.idle()
	figure, known := fighter.Named(name)
	if !known {
		g.faults = append(g.faults, noFigure(name))
	}
	codings, coarse, err := calibrate.ReadAll(dirs...)
	if err := errors.Join(append(g.faults, format(f.format, "text", "json", "csv"), err)...); err != nil {
		return inputError{err}
	}
	for _, dir := range dirs {
		if err := g.folder(dir); err != nil {
			return inputError{err}
		}
	}
	out, err := f.behind(p, figure, codings, coarse)
	if err != nil {
		return inputError{err}
	}
	out.Version, out.Inputs, out.Full = Version, g.inputs, f.full
	hold(out, p, boutsWith(p.ID, codings, coarse))
	if f.vtt != "" {
		if err := f.cues(out, boutsWith(p.ID, codings, coarse)); err != nil {
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

// noFigure names the nearest figure; of a part of a name, the figures with it; else what there is under the part that is known.
func noFigure(name string) error {
	parts := strings.Split(name, ".")
	var all, with, under []string
	for f := range fighter.NumFigures() {
		figure := fighter.Define(fighter.Figure(f)).Name
		if !answerable(fighter.Figure(f)) {
			continue
		}
		all = append(all, figure)
		its := strings.Split(figure, ".")
		if !slices.ContainsFunc(parts, func(p string) bool { return !slices.Contains(its, p) }) {
			with = append(with, figure)
		}
		if its[0] == parts[0] {
			under = append(under, figure)
		}
	}
	fault := fmt.Sprintf("figure %q is not known", name)
	switch near := input.Nearest(name, all); {
	case len(with) > 0:
		return fmt.Errorf("figure %q is but a part of a name; expected one of %s", name, strings.Join(with, ", "))
	case near != "":
		return fmt.Errorf("%s; did you mean %q?", fault, near)
	case len(under) > 0:
		return fmt.Errorf("%s; %s", fault, cmp.Or(input.DidYouMean(name, under), "expected a name such as "+under[0]+", as in the profile's file"))
	}
	return fmt.Errorf("%s; expected a name as in the profile's file, such as initiate.long.jab, answer.pocket.cross, defend.straight.slip, bite.hip or attack.straight", fault)
}

// answerable leaves out what cannot be done there at all.
func answerable(f fighter.Figure) bool {
	return fighter.Shipped().Figures[f].A > 0 || fighter.Define(f).Law == fighter.Skill
}

// behind gives the rows; of a figure that no row stands behind, why.
func (f *evidenceFlags) behind(p *fighter.Profile, figure fighter.Figure, codings []*tape.Coding, coarse []*tape.Coarse) (*report.Behind, error) {
	if why := calibrate.NotShown(p, figure); why != "" {
		out := report.BehindOf(p, figure, nil)
		out.Notes = append(out.Notes, why)
		return out, nil
	}
	coder, err := calibrate.ReadCoderDoubt(cmp.Or(p.MadeFrom.Coder, "exact"))
	if err != nil {
		return nil, fmt.Errorf("made_from of the profile: %w", err)
	}
	rows, err := calibrate.Behind(codings, calibrate.Options{All: p.MadeFrom.All, Age: calibrate.Ageing{HalfLife: p.MadeFrom.HalfLife, AsOf: p.MadeFrom.AsOf},
		Coarse: coarse, Coder: coder, Population: p.StandsOn()}, p.ID, figure)
	if err != nil {
		return nil, err
	}
	out := report.BehindOf(p, figure, rows)
	if p.StandsOn() == nil && out.Coarse != nil && rows.Coarse.Tells == calibrate.TellsRate {
		out.Notes = append(out.Notes, fmt.Sprintf("WARNING: the profile stands on the population %s, and what of an exchange counts for a rate was reckoned from the program's own: name that file with --population.", p.Population))
	}
	return out, nil
}

// boutsWith lists the bouts of a fighter that were given, each once.
func boutsWith(id string, codings []*tape.Coding, coarse []*tape.Coarse) (out []*tape.Bout) {
	add := func(b *tape.Bout) {
		if (b.Fighters[0].ID == id || b.Fighters[1].ID == id) && !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	for _, c := range codings {
		add(c.Bout)
	}
	for _, c := range coarse {
		add(c.Bout)
	}
	return out
}

// hold holds the bouts that were given against those of the profile, and the rows against what it says was seen.
func hold(out *report.Behind, p *fighter.Profile, bouts []*tape.Bout) {
	var changed, extra, missing []string
	given := map[string]bool{}
	for _, b := range bouts {
		given[b.ID] = true
		switch hash, in := p.MadeFrom.Bouts[b.ID]; {
		case !in:
			extra = append(extra, b.ID)
		case hash != b.Files.SHA256:
			changed = append(changed, b.ID)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(p.MadeFrom.Bouts)) {
		if !given[id] {
			missing = append(missing, id)
		}
	}
	warn := func(format string, args ...any) { out.Notes = append(out.Notes, fmt.Sprintf(format, args...)) }
	if len(p.MadeFrom.Bouts) == 0 {
		warn("WARNING: the profile does not say from which tape it was made, so that these rows may be others than those behind it.")
	} else {
		list := func(what string, ids []string) {
			if len(ids) > 0 {
				warn("WARNING: "+what+": %s.", strings.Join(ids, ", "))
			}
		}
		list("changed since the profile was made", changed)
		list("the profile was not made from these, or they did not count", extra)
		list("the profile was also made from these, which were not given", missing)
	}
	if closed := &p.MadeFrom.Closed; len(closed.Rates)+len(closed.Shares) > 0 {
		warn("These rows are what was counted; the profile was shifted afterwards, so that simulated bouts come nearer to its tape (calibrate --close): see made_from in it.")
	}
	law := fighter.Define(figureOf(out)).Law
	same := len(missing)+len(extra)+len(changed) == 0 && len(p.MadeFrom.Bouts) > 0
	count := out.Count
	if out.Coarse != nil {
		count += out.Coarse.Count
	}
	switch kind, _, _ := strings.Cut(out.Figure, "."); {
	case out.Tape == "" || p.Sources[figureOf(out)] != fighter.FromTape:
	case law == fighter.Skill && kind != "bite":
		out.Agrees = fmt.Sprintf("the profile states information as seen (%.3g, 1 over log-odds squared), not attempts", out.Seen)
	case math.Abs(count-out.Seen) <= 1e-6*(1+out.Seen):
		out.Agrees = "the profile says as many were seen"
	case same:
		out.Agrees = fmt.Sprintf("THE PROFILE SAYS %.4g WERE SEEN: the file was changed by hand or by another version", out.Seen)
	default:
		out.Agrees = fmt.Sprintf("the profile says %.4g were seen, from other bouts or other options than these; see the warnings", out.Seen)
	}
}

func figureOf(out *report.Behind) fighter.Figure {
	f, _ := fighter.Named(out.Figure)
	return f
}

// cues writes a file for each bout of the fighter.
func (f *evidenceFlags) cues(out *report.Behind, bouts []*tape.Bout) error {
	var ids []string
	for _, b := range bouts {
		ids = append(ids, b.ID)
	}
	return cueFiles(f.vtt, ids, func(w io.Writer, i int) error { return out.VTT(w, bouts[i]) })
}

// completeEvidence gives profiles, then the figures that tape moved in the profile, then folders.
func completeEvidence(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	switch len(args) {
	case 0:
		return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
	case 1:
		p := (&given{}).profile("", args[0])
		var out []string
		for i := range fighter.NumFigures() {
			f := fighter.Figure(i)
			name := fighter.Define(f).Name
			switch {
			case p == nil && answerable(f):
				out = append(out, name)
			case p != nil && p.Sources[f] == fighter.FromTape:
				out = append(out, cobra.CompletionWithDesc(name, fmt.Sprintf("seen: %.4g", p.Seen[f])))
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp
	}
	return nil, cobra.ShellCompDirectiveFilterDirs
}
