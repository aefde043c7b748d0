package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

// version of the tool, on every sheet.
const version = "0.1.0"

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "fallrule",
		Short: "Check a plumbing layout against regional codes, clause by clause",
		Long: "fallrule measures what follows from a plumbing layout, holds it against the code of the\n" +
			"country where the house stands, and says what is met, broken or unknown and how to mend it.\n" +
			"It is a check before a licensed plumber looks, not a permission.\n\n" +
			"Exit codes: 0 all met, 1 something breaks, 2 could not run, 3 nothing breaks but\n" +
			"something is too close to call or could not be judged.",
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.AddCommand(checkCommand(), compareCommand(), askCommand(), measureCommand(), newCommand(), profileCommand(), pluginCommand())
	return root
}

// family is a command that only holds others. A word it does not know is an
// error; cobra would print the help and exit with 0.
func family(use, short string, members ...*cobra.Command) *cobra.Command {
	c := &cobra.Command{
		Use:   use,
		Short: short,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("%s has no command %q; see %s --help", c.CommandPath(), args[0], c.CommandPath())
			}
			return c.Help()
		},
	}
	c.AddCommand(members...)
	return c
}
