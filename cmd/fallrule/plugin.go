package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fallrule/engine/measure"
	"fallrule/plugins/sdk"
	"fallrule/schema"
)

func pluginCommand() *cobra.Command {
	var file string
	list := &cobra.Command{
		Use:   "list",
		Short: "Start each measurement plugin and list what it measures",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			cat, err := schema.Quantities()
			if err != nil {
				return err
			}
			sources, err := measureSources(file)
			if err != nil {
				return err
			}
			for _, p := range measure.Describe(c.Context(), sources, cat) {
				state := "ok"
				if p.Fault != "" {
					state = p.Fault
				}
				fmt.Fprintf(c.OutOrStdout(), "%-12s %-8s %3d quantities  %s  %s\n", p.Name, p.Version, len(p.Quantities), p.Path, state)
			}
			if !sdk.MemoryLimited() {
				fmt.Fprintln(c.OutOrStdout(), "The memory limit of plugins is not enforced on this system.")
			}
			return nil
		},
	}
	list.Flags().StringVar(&file, "plugins", "", "file that names further measurement plugins")
	return family("plugin", "Look at the measurement plugins", list)
}
