package main

import (
	"fmt"
	"slices"

	"github.com/fatih/color"
	"github.com/spf13/cobra"

	"fallrule/engine"
	"fallrule/engine/compare"
	"fallrule/engine/layout"
	"fallrule/engine/profile"
	"fallrule/engine/quantity"
	"fallrule/engine/report"
)

func compareCommand() *cobra.Command {
	var f flags
	var format string
	var options report.Options
	c := &cobra.Command{
		Use:   "compare LAYOUT",
		Short: "Lay codes side by side on one layout: where a habit from home misleads",
		Long: "compare holds one layout against several codes and puts them side by side, a row for each\n" +
			"subject, topic and quantity. The code of the country where the house stands is marked; the\n" +
			"others are habit. It judges nothing: the exit code is 0 when it ran and 2 when it could not.",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeLayouts,
		Example:           "  fallrule compare house.yaml\n  fallrule compare house.yaml --profile es --profile uk --format csv",
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains(report.ComparisonNames(), format) {
				return report.WriteComparison(nil, format, report.Comparison{}, options)
			}
			o, err := openBeside(c, args[0], f)
			if err != nil {
				return err
			}
			sheet, err := o.engine.Check(c.Context(), o.layout, o.warnings)
			if err != nil {
				return err
			}
			options.Color = !color.NoColor
			return report.WriteComparison(c.OutOrStdout(), format, compare.Of(sheet, codesOf(o, options)), options)
		},
	}
	c.Flags().StringArrayVarP(&f.profiles, "profile", "p", nil, "profile to compare, by id or folder; repeat it (default: the house's country and the owner's home)")
	c.Flags().StringVar(&f.plugins, "plugins", "", "file that names further measurement plugins")
	c.Flags().StringVar(&format, "format", "text", "form of the comparison: text, json or csv")
	c.Flags().BoolVar(&options.Imperial, "imperial", false, "show what was measured in feet and inches")
	c.Flags().BoolVar(&options.All, "all", false, "list the rows in which no code asks anything, too (text; json and csv always have them)")
	_ = c.RegisterFlagCompletionFunc("profile", completeProfiles)
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(report.ComparisonNames(), cobra.ShellCompDirectiveNoFileComp))
	_ = c.MarkFlagFilename("plugins", "yaml")
	return c
}

func codesOf(o *opened, options report.Options) compare.Codes {
	codes := compare.Codes{Catalogue: o.engine.Catalogue(), Country: o.layout.Plan.House.Country}
	if options.Imperial {
		codes.System = quantity.Imperial
	}
	for _, role := range o.engine.Roles {
		codes.Rules = append(codes.Rules, o.engine.Profiles.Profile(role.Profile).Rules...)
	}
	return codes
}

// openBeside opens a layout under codes that are all compared: unlike a check,
// naming one does not make it bind.
func openBeside(c *cobra.Command, path string, f flags) (*opened, error) {
	w, err := newWorkshop(f)
	if err != nil {
		return nil, err
	}
	w.choose = func(lay *layout.Layout) ([]engine.Role, error) { return rolesBeside(lay, w.heads, w.named) }
	return w.open(c, path)
}

// rolesBeside gives each code its part: those of the house's country bind, all
// others are habit, whoever named them.
func rolesBeside(lay *layout.Layout, heads map[string]profile.Header, named []string) ([]engine.Role, error) {
	house := lay.Plan.House
	var roles []engine.Role
	if len(named) == 0 {
		var err error
		if roles, err = engine.Choose(lay, heads, nil, nil); err != nil {
			return nil, err
		}
	}
	for _, id := range named {
		r := engine.Role{Profile: id, Why: "asked for"}
		switch countries := heads[id].Countries; {
		case house.Country != "" && slices.Contains(countries, house.Country):
			r.Binding, r.Why = true, "the house stands in its country"
		case house.Home != "" && slices.Contains(countries, house.Home):
			r.Why = "the habit of the owner's home"
		}
		if !slices.ContainsFunc(roles, func(o engine.Role) bool { return o.Profile == id }) {
			roles = append(roles, r)
		}
	}
	if len(roles) < 2 {
		return nil, fmt.Errorf("compare %s: there is only %s to compare; name another code with --profile", lay.Doc.Name, roles[0].Profile)
	}
	slices.SortStableFunc(roles, func(a, b engine.Role) int {
		switch {
		case a.Binding == b.Binding:
			return 0
		case a.Binding:
			return -1
		}
		return 1
	})
	return roles, nil
}
