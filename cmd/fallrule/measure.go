package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/spf13/cobra"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

func measureCommand() *cobra.Command {
	var f flags
	var format string
	var only []string
	c := &cobra.Command{
		Use:               "measure LAYOUT",
		Short:             "Print what follows from a layout, with the working of each figure",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeLayouts,
		RunE: func(c *cobra.Command, args []string) error {
			o, err := open(c, args[0], f)
			if err != nil {
				return err
			}
			cat, err := schema.Quantities()
			if err != nil {
				return err
			}
			want := cat.Names
			if len(only) > 0 {
				want = only
			}
			for _, name := range want {
				if _, known := cat.ByName[name]; !known {
					return fmt.Errorf("measure %s: there is no quantity %q", args[0], name)
				}
			}
			o.engine.Workings = true
			m, err := o.engine.Measure(c.Context(), o.layout, want)
			if err != nil {
				return err
			}
			if format == "json" {
				return printMeasuresJSON(c.OutOrStdout(), m, o.layout)
			}
			printMeasures(c.OutOrStdout(), m, o.layout, cat)
			return nil
		},
	}
	f.bind(c)
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringSliceVar(&only, "quantity", nil, "only these quantities")
	return c
}

// printMeasures lists by subject, a figure a line, its working under it.
func printMeasures(w io.Writer, m measure.Measures, lay *layout.Layout, cat schema.Catalogue) {
	last := ""
	for _, e := range bySubject(m, lay) {
		if e.Subject != last {
			fmt.Fprintf(w, "\n%s\n", e.Subject)
			last = e.Subject
		}
		fmt.Fprintf(w, "  %s: %s\n", cat.ByName[e.Quantity].Label(), figure(e.Measured, cat.ByName[e.Quantity]))
		for _, line := range workingLines(e.Measured.Working) {
			for _, folded := range strings.Split(text.WrapSoft(line, 74), "\n") {
				fmt.Fprintf(w, "      %s\n", strings.TrimSpace(folded))
			}
		}
	}
}

func figure(m finding.Measured, q schema.Quantity) string {
	switch {
	case m.Band != nil && m.Band.Value >= q.High:
		return "none there to measure"
	case m.Band != nil:
		return quantity.FormatBand(m.Band.Low, m.Band.Value, m.Band.High, q.Unit, quantity.Metric)
	case len(m.States) > 0:
		return judge.Plain(strings.Join(m.States, " or "))
	case m.Needs != "":
		return "not known: " + m.Text + " [" + m.Needs + "]"
	}
	return "not known: " + m.Text
}

func workingLines(w finding.Working) []string {
	return slices.DeleteFunc([]string{w.Formula, w.Numbers, w.Source}, func(s string) bool { return s == "" })
}

type measureJSON struct {
	Subject  string   `json:"subject"`
	Quantity string   `json:"quantity"`
	Low      *float64 `json:"low,omitempty"`
	Value    *float64 `json:"value,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Unit     string   `json:"unit,omitempty"`
	States   []string `json:"states,omitempty"`
	Because  string   `json:"because,omitempty"`
	Needs    string   `json:"needs,omitempty"`
	Text     string   `json:"text,omitempty"`
	Formula  string   `json:"formula,omitempty"`
	Numbers  string   `json:"numbers,omitempty"`
	Source   string   `json:"source,omitempty"`
	Plugin   string   `json:"plugin,omitempty"`
}

// entry is one quantity of one subject.
type entry struct {
	measure.Key
	Measured finding.Measured
}

// bySubject lists all measures in the order in which the subjects stand in
// the document.
func bySubject(m measure.Measures, lay *layout.Layout) []entry {
	var out []entry
	for key, known := range m.All() {
		out = append(out, entry{key, known})
	}
	slices.SortStableFunc(out, func(a, b entry) int {
		at, bt := lay.Position(a.Subject), lay.Position(b.Subject)
		return cmp.Or(cmp.Compare(at.Line, bt.Line), cmp.Compare(at.Column, bt.Column), strings.Compare(a.Subject, b.Subject))
	})
	return out
}

func printMeasuresJSON(w io.Writer, m measure.Measures, lay *layout.Layout) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	for _, at := range bySubject(m, lay) {
		k := at.Measured
		line := measureJSON{
			Subject: at.Subject, Quantity: at.Quantity, States: k.States, Because: string(k.Because), Needs: k.Needs, Text: k.Text,
			Formula: k.Working.Formula, Numbers: k.Working.Numbers, Source: k.Working.Source, Plugin: k.Plugin,
		}
		if k.Band != nil {
			line.Unit, line.Value = k.Unit, &k.Band.Value
			if !k.Band.Open() {
				line.Low, line.High = &k.Band.Low, &k.Band.High
			}
		}
		if err := e.Encode(line); err != nil {
			return err
		}
	}
	return nil
}
