package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/spf13/cobra"

	"fallrule/engine/ask"
)

func askCommand() *cobra.Command {
	var f flags
	var most int
	var format string
	c := &cobra.Command{
		Use:               "ask LAYOUT",
		Short:             "Print the readings to take next, and how",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeLayouts,
		RunE: func(c *cobra.Command, args []string) error {
			o, err := open(c, args[0], f)
			if err != nil {
				return err
			}
			sheet, err := o.engine.Check(c.Context(), o.layout, o.warnings)
			if err != nil {
				return err
			}
			readings, err := ask.Next(sheet, o.engine.Catalogue(), o.layout.Reading, most)
			if err != nil {
				return err
			}
			if format == "json" {
				e := json.NewEncoder(c.OutOrStdout())
				e.SetIndent("", "  ")
				return e.Encode(readings)
			}
			printReadings(c.OutOrStdout(), readings)
			return nil
		},
	}
	f.bind(c)
	c.Flags().IntVar(&most, "most", 5, "how many readings; 0 for all")
	c.Flags().StringVar(&format, "format", "text", "text or json")
	return c
}

func printReadings(w io.Writer, readings []ask.Reading) {
	if len(readings) == 0 {
		fmt.Fprintln(w, "No reading is missing or too rough for what is checked.")
		return
	}
	for i, r := range readings {
		verb := "read"
		if r.Again {
			verb = "read again"
		}
		fmt.Fprintf(w, "%d. %s %s\n", i+1, r.Path, waiting(r))
		for _, line := range []string{
			"With: " + r.With + ".",
			strings.ToUpper(verb[:1]) + verb[1:] + ": " + r.How + ".",
			"How exact: " + r.Exact + ".",
			"For: " + strings.Join(firstOf(r.For, 4), ", ") + ".",
		} {
			for _, folded := range strings.Split(text.WrapSoft(line, 76), "\n") {
				fmt.Fprintln(w, "   "+strings.TrimSpace(folded))
			}
		}
	}
}

func waiting(r ask.Reading) string {
	if r.Waiting == 1 {
		return "(1 finding waits)"
	}
	return fmt.Sprintf("(%d findings wait)", r.Waiting)
}

func firstOf(names []string, n int) []string {
	if len(names) <= n {
		return names
	}
	return append(append([]string{}, names[:n]...), fmt.Sprintf("and %d more", len(names)-n))
}
