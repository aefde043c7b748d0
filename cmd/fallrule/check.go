package main

import (
	"slices"

	"github.com/fatih/color"
	"github.com/spf13/cobra"

	"fallrule/engine/finding"
	"fallrule/engine/report"
)

func checkCommand() *cobra.Command {
	var f flags
	var format string
	var all bool
	c := &cobra.Command{
		Use:               "check LAYOUT…",
		Short:             "Judge a layout and print the inspection sheet; several, or a folder, a line each",
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeLayouts,
		Example:           "  fallrule check house.yaml\n  fallrule check house.yaml --profile es --beside uk --format json",
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains(report.Names(), format) {
				return report.Write(nil, format, nil, report.Options{})
			}
			files, one, err := layoutsOf(args)
			if err != nil {
				return err
			}
			if !one {
				return checkMany(c, files, f, format)
			}
			o, err := open(c, args[0], f)
			if err != nil {
				return err
			}
			o.engine.Workings = format == "json"
			sheet, err := o.engine.Check(c.Context(), o.layout, o.warnings)
			if err != nil {
				return err
			}
			options := report.Options{All: all, Color: !color.NoColor}
			if err := report.Write(c.OutOrStdout(), format, sheet, options); err != nil {
				return err
			}
			return exitOf(sheet)
		},
	}
	f.bind(c)
	c.Flags().StringVar(&format, "format", "text", "form of the sheet: text or json")
	c.Flags().BoolVar(&all, "all", false, "list what is met, too")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(report.Names(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

func exitOf(s *finding.Sheet) error {
	if code := s.Exit(); code != finding.ExitMet {
		return exit{code}
	}
	return nil
}
