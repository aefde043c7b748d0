package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
	"fallrule/engine/profile"
	"fallrule/profiles"
)

func profileCommand() *cobra.Command {
	return family("profile", "Look at profiles, and try them", profileListCommand(), profileShowCommand(), profileTestCommand())
}

func profileListCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "List the profiles",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			heads, err := profile.NewFolders(profiles.FS).Heads()
			if err != nil {
				return err
			}
			var ids []string
			for id := range heads {
				ids = append(ids, id)
			}
			slices.Sort(ids)
			w := tabwriter.NewWriter(c.OutOrStdout(), 0, 0, 2, ' ', 0)
			for _, id := range ids {
				fmt.Fprintf(w, "%s\t%s\t%s\n", id, heads[id].Title, bindsIn(heads[id].Countries))
			}
			return w.Flush()
		},
	}
}

// bindsIn says where a profile binds unasked.
func bindsIn(countries []string) string {
	if len(countries) == 0 {
		return "binds only when asked for"
	}
	return "binds in " + strings.Join(countries, ", ")
}

func profileShowCommand() *cobra.Command {
	var limits bool
	c := &cobra.Command{
		Use:               "show ID|FOLDER",
		Short:             "Show a profile: its documents, its rules, and how far its limits are confirmed",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeProfiles,
		RunE: func(c *cobra.Command, args []string) error {
			set, _, err := loadProfile(c.Context(), args[0], false)
			if err != nil {
				return err
			}
			return showProfile(c.OutOrStdout(), set, set.IDs()[0], limits)
		},
	}
	c.Flags().BoolVar(&limits, "limits", false, "list every limit with its clause and basis")
	return c
}

func showProfile(w io.Writer, set *profile.Set, id string, limits bool) error {
	p := set.Profile(id)
	fmt.Fprintf(w, "%s: %s\n%s; language %s\n\nDocuments\n", p.ID, p.Header.Title, p.Header.Edition, p.Header.Language)
	var docs []string
	for key := range p.Header.Documents {
		docs = append(docs, key)
	}
	slices.Sort(docs)
	for _, key := range docs {
		d := p.Header.Documents[key]
		fmt.Fprintf(w, "  %s: %s, %s, %s\n", key, d.Title, d.Edition, d.Publisher)
	}
	fmt.Fprintf(w, "\nRules (%d)\n", len(p.Rules))
	for _, r := range p.Rules {
		fmt.Fprintf(w, "  %-28s %s\n%31s%s; %s; %s\n", r.ID, r.Title, "", r.Clause, r.Force, r.When)
	}
	counts := set.CountByBasis(id)
	fmt.Fprintf(w, "\nLimits: read in a source %d, from memory %d, common practice %d.\n",
		counts[finding.Read], counts[finding.Memory], counts[finding.CommonPractice])
	if counts[finding.Memory] > 0 {
		fmt.Fprintln(w, "Limits from memory are not confirmed: look the clause up before you act on them.")
	}
	if limits {
		for _, l := range set.Limits(id) {
			fmt.Fprintf(w, "  %s: %s%s [%s; %s]\n", l.Rule.ID, judge.Words(l.Row, set.Catalogue()), holdsFor(l.For), clauseOf(l), l.Row.Basis)
		}
	}
	return nil
}

// holdsFor says for which subjects a row stands: " for serves bath or shower".
func holdsFor(facts map[string][]string) string {
	var keys []string
	for key := range facts {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	var parts []string
	for _, key := range keys {
		parts = append(parts, key+" "+strings.Join(facts[key], " or "))
	}
	if len(parts) == 0 {
		return ""
	}
	return " for " + judge.Plain(strings.Join(parts, ", "))
}

func clauseOf(l profile.Limit) string {
	if l.Row.Clause != "" {
		return l.Row.Clause
	}
	return l.Rule.Clause
}
