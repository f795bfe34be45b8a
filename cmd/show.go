package cmd

import (
	"errors"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
	"whatbout/report"
)

// mostResult is how long a file of a result may be.
const mostResult = 64 << 20

func showCommand() *cobra.Command {
	var form string
	var page pageFlags
	c := &cobra.Command{
		Use:     "show RESULT.json",
		Short:   "Show a result again that was written as JSON, without playing anything",
		Example: "  whatbout show result.json\n  whatbout show result.json --format csv\n  whatbout show result.json --report out.html --checks audit.json",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			if err := errors.Join(format(form, shownFormats...), page.check()); err != nil {
				return wrap(err)
			}
			data, err := input.ReadFile(args[0], mostResult)
			if err != nil {
				return wrap(err)
			}
			shown, err := report.Read(args[0], data)
			if err != nil {
				return wrap(err)
			}
			return errors.Join(show(c, form, shown), page.write(shown))
		},
	}
	c.Flags().StringVar(&form, "format", "text", "text, json or csv")
	page.add(c)
	return c
}

// shownFormats are those that every result has.
var shownFormats = []string{"text", "json", "csv"}

// show writes a result in a format. Its words are those of its JSON form, so that they do not change when it is shown again.
func show(c *cobra.Command, form string, r report.Shown) error {
	w := c.OutOrStdout()
	switch form {
	case "json":
		return r.JSON(w)
	case "csv":
		return r.CSV(w)
	}
	rounded, err := report.Rounded(r)
	if err != nil {
		return err
	}
	return rounded.Text(w)
}
