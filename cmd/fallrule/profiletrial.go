package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"fallrule/engine/finding"
	"fallrule/engine/profile"
	"fallrule/profiles"
	"fallrule/schema"
)

func profileTestCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "test ID|FOLDER",
		Short: "Judge a profile's examples, forget each fact in turn, and run its tests in Rego",
		Long: "Judge the examples of each rule of a profile through the same path as a layout, and each\n" +
			"again with one fact or reading made unknown: nothing may become met, and no subject may\n" +
			"leave its rule. A limit that no example holds in place is a fault, as is a verdict that\n" +
			"is never shown. The rules of a parent are tried with the parent.\n\n" +
			"Exit codes: 0 all hold, 1 something does not, 2 the profile cannot be read.",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeProfiles,
		RunE: func(c *cobra.Command, args []string) error {
			set, fsys, err := loadProfile(c.Context(), args[0], true)
			if err != nil {
				return err
			}
			id := set.IDs()[0]
			tried, err := set.Try(c.Context())
			if err != nil {
				return err
			}
			ran, failed, err := profile.TestRego(c.Context(), fsys, []string{id})
			if err != nil {
				return err
			}
			return tellTrial(c.OutOrStdout(), id, tried, len(ran), failed)
		},
	}
}

// tellTrial writes what does not hold, by file and line, and what was tried.
func tellTrial(w io.Writer, id string, tried profile.Tried, ran int, failed profile.Faults) error {
	faults := 0
	for _, list := range []profile.Faults{tried.Faults, tried.Unheld, failed} {
		for _, fault := range list {
			fmt.Fprintln(w, fault)
			faults++
		}
	}
	fmt.Fprintf(w, "%s: %s, %s, %d more with a fact forgotten, %s in Rego: %s.\n", id, count(tried.Rules, "rule"),
		count(tried.Examples, "example"), tried.Forgotten, count(ran+len(failed), "test"), count(faults, "fault"))
	if faults > 0 {
		return exit{finding.ExitBreaks}
	}
	return nil
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// unproven hides that the tests of the tool have tried a profile already, so
// that its examples are read again.
type unproven struct{ fs.FS }

// loadProfile reads one profile, by id or folder, with what it extends. Only
// withExamples are those of the profiles that come with the tool read.
func loadProfile(ctx context.Context, named string, withExamples bool) (*profile.Set, fs.FS, error) {
	cat, err := schema.Quantities()
	if err != nil {
		return nil, nil, err
	}
	folders, ids, err := mount(profile.NewFolders(profiles.FS), []string{named})
	if err != nil {
		return nil, nil, err
	}
	var fsys fs.FS = folders
	if withExamples {
		fsys = unproven{folders}
	}
	set, err := profile.Load(ctx, fsys, ids, cat)
	return set, fsys, err
}
