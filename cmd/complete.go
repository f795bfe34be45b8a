package cmd

import (
	"github.com/spf13/cobra"

	"whatbout/plans"
	"whatbout/study"
	"whatbout/tape"
)

// formats of each command that has --format.
var formats = map[string][]string{"compare": shownFormats, "choose": shownFormats, "credit": shownFormats, "next": shownFormats, "sweep": shownFormats, "show": shownFormats, "run": shownFormats, "bout": {"text", "tape", "json"}, "part": {"text", "json"}}

// completions of flags by name, for every command that has them.
func completions(command string) map[string][]string {
	return map[string][]string{"rule": plans.Names(), "rule-plan": plans.Names(), "rules": tape.RuleSetNames(), "format": formats[command], "whose": {"fighter", "opponent"}}
}

// yamlFlags name files.
var yamlFlags = []string{"fighter", "opponent", "plan", "opponent-plan", "baseline"}

// complete teaches the shell the words that flags and arguments may have.
func complete(root *cobra.Command) {
	for _, c := range root.Commands() {
		for flag, words := range completions(c.Name()) {
			if c.Flags().Lookup(flag) != nil {
				must(c.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)))
			}
		}
		for _, flag := range yamlFlags {
			if c.Flags().Lookup(flag) != nil {
				must(c.MarkFlagFilename(flag, "yaml", "yml"))
			}
		}
		if c.Name() == "sweep" {
			c.ValidArgsFunction = completeFigure
		}
	}
}

// completeFigure gives what can be swept, each with what it counts.
func completeFigure(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []string
	for _, d := range study.Dials() {
		out = append(out, cobra.CompletionWithDesc(d.Name, d.Plain("the fighter")))
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}

// must is for wiring that fails only when a flag is registered twice or does not exist.
func must(err error) {
	if err != nil {
		panic("cmd: " + err.Error())
	}
}
