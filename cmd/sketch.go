package cmd

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/fighter"
	"whatbout/internal/input"
)

type sketchFlags struct {
	archetype, answers, id, body, out, keep string
	ask                                     bool
}

func sketchCommand() *cobra.Command {
	var f sketchFlags
	c := &cobra.Command{
		Use:   "sketch --id NAME --body \"stature 1.80, span 1.85, leg 0.95, weight 77, southpaw\"",
		Short: "Make a wide profile of a fighter without tape, from an archetype and fifteen answers",
		Long: "Without tape: says how a fighter is thought to fight, and makes a profile of it in which every figure is marked assumption. Good enough to try\n" +
			"a plan and to see what tape would buy (the tape interval of compare), not to believe.\n\n" + sketchHelp(),
		Example: "  whatbout sketch --archetype kicker --id heron --body \"stature 1.85, span 1.92, leg 1.00, weight 70\" --out heron.yaml\n" +
			"  whatbout sketch --ask --id vole --body \"stature 1.72, span 1.77, leg 0.90, weight 70, southpaw\" --out vole.yaml --keep answers.yaml\n" +
			"  whatbout sketch --answers answers.yaml --out vole.yaml",
		Args: func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE: func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	c.Flags().StringVar(&f.archetype, "archetype", "", "start from an archetype")
	c.Flags().StringVar(&f.answers, "answers", "", "file with answers (format "+fighter.SketchFormat+"); it may hold id, archetype and body too")
	c.Flags().BoolVar(&f.ask, "ask", false, "ask the questions, one line each; an empty line keeps what stands in brackets")
	c.Flags().StringVar(&f.id, "id", "", "the fighter's id, an alias")
	c.Flags().StringVar(&f.body, "body", "", "lengths in metres, weight in kilograms, stance (default: orthodox)")
	c.Flags().StringVar(&f.out, "out", "", "file for the profile (default: standard output)")
	c.Flags().StringVar(&f.keep, "keep", "", "file for the answers, to change and use again with --answers")
	return c
}

// sketchHelp states the archetypes and the questions.
func sketchHelp() string {
	var b strings.Builder
	names, words := fighter.Archetypes()
	b.WriteString("Archetypes (names and definitions are our own):\n")
	for i, name := range names {
		fmt.Fprintf(&b, "  %-18s %s\n", name, words[i])
	}
	b.WriteString("\nQuestions, each answered rarely (half as often as the population), sometimes or often (twice as often; all a judgement):\n")
	for _, q := range fighter.Questions() {
		fmt.Fprintf(&b, "  %-18s %s\n", q.Name, q.Words)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func (f *sketchFlags) run(c *cobra.Command) error {
	s, err := f.read()
	if err != nil {
		return inputError{err}
	}
	if f.ask {
		if err := askHabits(c.InOrStdin(), c.ErrOrStderr(), s); err != nil {
			return inputError{err}
		}
	}
	profile := append(sketchHead(s), fighter.WriteProfile(s.Profile())...)
	files := map[string][]byte{}
	if f.keep != "" {
		files[f.keep] = fighter.WriteSketch(s)
	}
	if f.out != "" {
		files[f.out] = profile
	}
	if err := input.WriteFiles(files); err != nil {
		return err
	}
	if f.out == "" {
		_, err := c.OutOrStdout().Write(profile)
		return err
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "%s: a sketch of %s. No tape stands behind it: every figure is an assumption. Next:\n  whatbout compare PLAN.yaml --fighter %s --opponent THEIRS.yaml\n",
		f.out, s.ID, f.out)
	return err
}

// read puts together the answers' file and the flags; what both give is refused. All faults are listed.
func (f *sketchFlags) read() (*fighter.Sketch, error) {
	s := &fighter.Sketch{Answers: map[string]fighter.Habit{}}
	var faults []error
	if f.archetype == "" && f.answers == "" && !f.ask {
		faults = append(faults, errors.New("nothing is known of the fighter; expected --archetype, --answers or --ask"))
	}
	if f.out != "" && f.out == f.keep {
		faults = append(faults, errors.New("--out and --keep name one file; expected two"))
	}
	if f.answers != "" {
		data, err := input.ReadFile(f.answers, 1<<20)
		if err == nil {
			var read *fighter.Sketch
			if read, err = fighter.ReadSketch(f.answers, data); err == nil {
				s = read
			}
		}
		faults = append(faults, err)
	}
	unread := f.answers != "" && faults[len(faults)-1] != nil // what the file may give is not asked for then
	faults = append(faults, give("--id", f.id, &s.ID), give("--archetype", f.archetype, &s.Archetype), f.giveBody(s, unread))
	if names, _ := fighter.Archetypes(); f.archetype != "" && !slices.Contains(names, f.archetype) {
		faults = append(faults, fmt.Errorf("--archetype %q is not known; %s", f.archetype, input.DidYouMean(f.archetype, names)))
	}
	if s.ID == "" && !unread {
		faults = append(faults, errors.New("who is it? expected --id with an alias"))
	}
	return s, errors.Join(faults...)
}

// give takes over a flag, unless the answers' file says it already.
func give(flag, value string, to *string) error {
	if value == "" {
		return nil
	}
	if *to != "" {
		return fmt.Errorf("%s and the file of answers both give it; leave one out", flag)
	}
	*to = value
	return nil
}

func (f *sketchFlags) giveBody(s *fighter.Sketch, unread bool) error {
	inFile := s.Body != (fighter.Body{})
	switch {
	case f.body == "" && (inFile || unread):
		return nil
	case f.body == "":
		return errors.New(`which build? expected --body such as "stature 1.80, span 1.85, leg 0.95, weight 77, southpaw"`)
	case inFile:
		return errors.New("--body and the file of answers both give it; leave one out")
	}
	var err error
	s.Body, err = fighter.ParseBody("--body", f.body)
	return err
}

// askHabits asks every question until it is answered; an empty line keeps the answer so far.
func askHabits(in io.Reader, out io.Writer, s *fighter.Sketch) error {
	questions := fighter.Questions()
	lines := bufio.NewScanner(in)
	fmt.Fprintln(out, "How often? (r)arely, (s)ometimes, (o)ften; Enter keeps what stands in brackets.")
	for i := 0; i < len(questions); {
		q := questions[i]
		fmt.Fprintf(out, "%2d/%d %s [%s]: ", i+1, len(questions), q.Words, s.Answer(q.Name))
		if !lines.Scan() {
			return errors.Join(fmt.Errorf("the answers ended at question %d of %d; nothing was written", i+1, len(questions)), lines.Err())
		}
		answer := strings.TrimSpace(lines.Text())
		h, ok := fighter.ParseHabit(answer)
		switch {
		case answer == "":
			i++
		case ok:
			s.Answers[q.Name] = h
			i++
		default:
			fmt.Fprintf(out, "%.40q is no answer; expected r, s or o\n", answer)
		}
	}
	return nil
}

// sketchHead says in the profile's file where it comes from.
func sketchHead(s *fighter.Sketch) []byte {
	var b strings.Builder
	b.WriteString("# A sketch without tape: every figure is an assumption.\n")
	if s.Archetype != "" {
		fmt.Fprintf(&b, "# archetype: %s\n", s.Archetype)
	}
	for _, q := range fighter.Questions() {
		if h := s.Answer(q.Name); h != fighter.Sometimes {
			fmt.Fprintf(&b, "# %s: %s\n", q.Words, h)
		}
	}
	return []byte(b.String())
}
