package cmd

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"whatbout/internal/input"
	"whatbout/report"
)

// StudyFormat is the value of format in a study's file.
const StudyFormat = "whatbout.study/1"

// studies are the commands that a study's file may stand for.
var studies = []string{"compare", "choose", "credit", "adjust", "next", "sweep", "tornado", "hangs-on"}

// notAsked are flags that change how a study is run or shown, and not what it is; they stand on the command line.
var notAsked = []string{"format", "help", "quiet", "workers", "resume", "report", "checks"}

// studyFile is a study kept in a file: a command with its arguments and options, and what only the user knows for the checklist.
type studyFile struct {
	study   string
	words   []string          // arguments and flags, as they would be typed
	said    map[string]string // by field of the checklist
	content report.Input
}

func runCommand() *cobra.Command {
	var form, out, resume string
	var workers int
	var quiet bool
	var page pageFlags
	c := &cobra.Command{
		Use:     "run STUDY.yaml",
		Short:   "Run a study from a file kept in version control, with the reporting checklist filled in",
		Long:    runLong,
		Example: "  whatbout run studies/stay-close.yaml\n  whatbout run studies/stay-close.yaml --out record.json --resume bouts.kept\n  whatbout show record.json",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			if err := errors.Join(format(form, shownFormats...), page.check()); err != nil {
				return wrap(err)
			}
			s, err := readStudy(args[0])
			if err != nil {
				return wrap(err)
			}
			how := []string{"--format", "json", "--workers", fmt.Sprint(workers)}
			if quiet {
				how = append(how, "--quiet")
			}
			for flag, file := range map[string]string{"--resume": resume, "--report": page.page} { // a page is written twice: the study's, then the record's
				if file == "" {
					continue
				}
				file, err := filepath.Abs(file)
				if err != nil {
					return err
				}
				how = append(how, flag, file)
			}
			record, err := s.run(c, filepath.Dir(args[0]), how)
			if record == nil {
				return err
			}
			if out != "" {
				err = errors.Join(err, input.WriteStream(out, record.JSON))
			}
			if err == nil {
				err = page.write(record)
			}
			return errors.Join(show(c, form, record), err)
		},
	}
	c.Flags().StringVar(&form, "format", "text", "text, json or csv")
	c.Flags().StringVar(&out, "out", "", "write the record, with result and checklist, to this file; whatbout show reads it")
	c.Flags().StringVar(&resume, "resume", "", "keep what is played in this file, and play nothing again that is in it; never changes the result")
	c.Flags().IntVar(&workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().BoolVar(&quiet, "quiet", false, "no progress")
	page.add(c)
	return c
}

const runLong = `Run a study from a file. The file names a command, its arguments and its options (the flags without their dashes; a list repeats one). Names of
files in it are relative to its folder.

  format: whatbout.study/1
  study: compare
  arguments: [plans/stay-close.yaml]
  options:
    fighter: profiles/badger.yaml
    opponent: profiles/heron.yaml
    draws: 400
    seed: 1
  checklist:
    purpose: Whether Badger should stay close to Heron.
    data_sources: Four bouts, coded by one analyst in October.`

// readStudy reads a study's file. The error lists all faults.
func readStudy(file string) (*studyFile, error) {
	data, err := input.ReadFile(file, 1<<20)
	if err != nil {
		return nil, err
	}
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Known("format", "study", "arguments", "options", "checklist")
	root.Word("format", StudyFormat)
	s := &studyFile{study: root.Word("study", studies...), said: map[string]string{}, content: report.Input{Name: file, SHA256: input.SHA256(data)}}
	if root.Has("options") && s.study != "" {
		s.options(root.Map("options"))
	}
	if root.Has("arguments") {
		for _, a := range root.Words("arguments") {
			if strings.HasPrefix(a, "-") {
				root.Fault("arguments", fmt.Sprintf("the argument %q begins with a dash", a), "names of files or figures; flags stand under options", "")
			}
			s.words = append(s.words, a)
		}
	}
	if root.Has("checklist") {
		said := root.Map("checklist")
		said.Known(report.ChecklistFields()...)
		for _, field := range report.ChecklistFields() {
			s.said[field] = said.TextOr(field, "")
		}
	}
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return s, nil
}

// options turns the options into flags of the study's command.
func (s *studyFile) options(m input.Map) {
	c, _, err := tree().Find([]string{s.study})
	must(err)
	var known []string
	c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if !slices.Contains(notAsked, f.Name) {
			known = append(known, f.Name)
		}
	})
	for _, name := range m.Keys() {
		if slices.Contains(notAsked, name) {
			m.Fault(name, fmt.Sprintf("%s does not belong to what is asked", name), "options that change the result", "give it to whatbout run on the command line")
			continue
		}
		if !slices.Contains(known, name) {
			m.Fault(name, fmt.Sprintf("%s has no option %q", s.study, name), "", input.DidYouMean(name, known))
			continue
		}
		for _, value := range m.Words(name) {
			if err := c.Flags().Set(name, value); err != nil {
				m.Fault(name, fmt.Sprintf("%s: %q is no %s", name, value, c.Flags().Lookup(name).Value.Type()), "", "")
			}
			s.words = append(s.words, "--"+name+"="+value)
		}
	}
}

// run runs the study in its folder and gives the record; an interrupted study gives both a record and an error.
func (s *studyFile) run(c *cobra.Command, folder string, how []string) (record *report.Record, err error) {
	back, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	if err := os.Chdir(folder); err != nil {
		return nil, wrap(err)
	}
	defer func() { err = errors.Join(err, os.Chdir(back)) }()
	var result bytes.Buffer
	root := tree()
	root.SetArgs(slices.Concat([]string{s.study}, s.words, how))
	root.SetOut(&result)
	root.SetErr(c.ErrOrStderr())
	failed := root.ExecuteContext(c.Context())
	if result.Len() == 0 {
		return nil, failed
	}
	typed := []string{"whatbout", s.study}
	for _, w := range s.words {
		typed = append(typed, shellWord(w))
	}
	record, err = report.NewRecord(s.content, strings.Join(typed, " "), result.Bytes(), s.said)
	return record, errors.Join(failed, err)
}
