package cmd

import (
	"github.com/spf13/cobra"

	"whatbout/plans"
	"whatbout/study"
	"whatbout/tape"
)

// otherFormats are those of commands that do not have all of [shownFormats], or others.
var otherFormats = map[string][]string{"bout": {"text", "tape", "json"}, "part": {"text", "json"}, "population": {"text", "json"}}

func formatsOf(command string) []string {
	if other := otherFormats[command]; other != nil {
		return other
	}
	return shownFormats
}

// completions of flags by name, for every command that has them.
func completions(command string) map[string][]string {
	return map[string][]string{"rule": plans.Names(), "rule-plan": plans.Names(), "plans": plans.Names(), "opponent-plans": plans.Names(), "rules": tape.RuleSetNames(), "format": formatsOf(command), "whose": {"fighter", "opponent"},
		"how": {"shares", "screening", "indices"}, "figure": study.DialNames()}
}

// yamlFlags name files.
var yamlFlags = []string{"fighter", "opponent", "plan", "opponent-plan", "baseline", "population"}

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
		switch c.Name() {
		case "sweep":
			c.ValidArgsFunction = completeFigure
		case "evidence":
			c.ValidArgsFunction = completeEvidence
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
