package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"fallrule/engine/starter"
)

func newCommand() *cobra.Command {
	var o starter.Options
	var file string
	c := &cobra.Command{
		Use:     "new FIXTURE…",
		Short:   "Write a commented layout to fill in, for the fixtures named",
		Example: "  fallrule new wc shower washbasin --country es --home gb -o house.yaml",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			o.Fixtures = args
			if file == "" {
				return starter.Write(c.OutOrStdout(), o)
			}
			return writeNew(file, func(w io.Writer) error { return starter.Write(w, o) })
		},
	}
	c.Flags().StringVar(&o.Country, "country", "", "country of the house, two letters (es, gb, …)")
	c.Flags().StringVar(&o.Home, "home", "", "country whose habits the owner has")
	c.Flags().BoolVar(&o.Imperial, "imperial", false, "examples in inches and feet")
	c.Flags().StringVarP(&file, "output", "o", "", "file to write; it must not exist yet")
	_ = c.MarkFlagRequired("country")
	return c
}

// writeNew never overwrites: the file may hold a day's readings.
func writeNew(file string, write func(io.Writer) error) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("write a new layout: %w", err)
	}
	if err := write(f); err != nil {
		_ = f.Close()
		_ = os.Remove(file)
		return err
	}
	return f.Close()
}
