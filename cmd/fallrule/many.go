package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"fallrule/engine/finding"
	"fallrule/engine/report"
)

// layoutsOf lists the files that the arguments mean: a folder stands for the
// YAML and JSON files in and below it. one tells that a single file was named.
func layoutsOf(args []string) (files []string, one bool, err error) {
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil || !info.IsDir() {
			files = append(files, arg) // what is not there is told when it is opened
			continue
		}
		err = filepath.WalkDir(arg, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && slices.Contains([]string{".yaml", ".yml", ".json"}, filepath.Ext(path)) {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			return nil, false, fmt.Errorf("list the layouts in %s: %w", arg, err)
		}
		if len(files) == 0 {
			return nil, false, fmt.Errorf("there is no .yaml, .yml or .json file in %s", arg)
		}
	}
	return files, len(args) == 1 && len(files) == 1 && files[0] == args[0], nil
}

// tally counts what came of many layouts.
type tally struct {
	Layouts   int `json:"layouts"`
	Met       int `json:"met"`
	Breaks    int `json:"breaks"`
	Unsettled int `json:"unsettled"`
	NotRead   int `json:"not_read"`
}

func (t *tally) count(code int) {
	t.Layouts++
	switch code {
	case finding.ExitMet:
		t.Met++
	case finding.ExitBreaks:
		t.Breaks++
	case finding.ExitUnsettled:
		t.Unsettled++
	default:
		t.NotRead++
	}
}

// exit is the code of the whole run: a break anywhere comes first, then a file
// that could not be judged, then what is unsettled.
func (t *tally) exit() error {
	switch {
	case t.Breaks > 0:
		return exit{finding.ExitBreaks}
	case t.NotRead > 0:
		return exit{finding.ExitNoRun}
	case t.Unsettled > 0:
		return exit{finding.ExitUnsettled}
	}
	return nil
}

// checkMany judges layout after layout; a bad file costs only itself. JSON is
// a line a layout and a last one for the whole.
func checkMany(c *cobra.Command, files []string, f flags, format string) error {
	w, err := newWorkshop(f)
	if err != nil {
		return err
	}
	bar := progress(c.ErrOrStderr(), len(files))
	var t tally
	for _, file := range files {
		code, err := w.checkOne(c, file, format)
		if err != nil {
			return err
		}
		t.count(code)
		_ = bar.Add(1)
	}
	_ = bar.Finish()
	if format == "json" {
		return errors.Join(json.NewEncoder(c.OutOrStdout()).Encode(map[string]tally{"summary": t}), t.exit())
	}
	fmt.Fprintf(c.OutOrStdout(), "\n%d layouts: %d met, %d break something, %d unsettled, %d not judged.\n",
		t.Layouts, t.Met, t.Breaks, t.Unsettled, t.NotRead)
	return t.exit()
}

// checkOne judges one of many and gives its exit code. The error is one of
// writing: what is wrong with the file is told and costs only itself.
func (w *workshop) checkOne(c *cobra.Command, file, format string) (int, error) {
	out := c.OutOrStdout()
	o, err := w.open(c, file)
	if err == nil {
		var sheet *finding.Sheet
		if sheet, err = o.engine.Check(c.Context(), o.layout, o.warnings); err == nil {
			if format == "json" {
				return sheet.Exit(), report.Line(out, sheet)
			}
			return sheet.Exit(), line(out, file, report.Headline(sheet))
		}
	}
	if format == "json" {
		return finding.ExitNoRun, json.NewEncoder(out).Encode(map[string]string{"file": file, "fault": err.Error()})
	}
	return finding.ExitNoRun, line(out, file, "could not be judged: "+err.Error())
}

func line(w io.Writer, file, says string) error {
	var b strings.Builder
	b.WriteString(file + "\n")
	for _, folded := range strings.Split(text.WrapSoft(says, 76), "\n") {
		b.WriteString("  " + strings.TrimSpace(folded) + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// progress shows itself on a terminal only, and on the error stream.
func progress(w io.Writer, n int) *progressbar.ProgressBar {
	terminal := false
	if f, is := w.(*os.File); is {
		info, err := f.Stat()
		terminal = err == nil && info.Mode()&os.ModeCharDevice != 0
	}
	return progressbar.NewOptions(n, progressbar.OptionSetWriter(w), progressbar.OptionSetVisibility(terminal), progressbar.OptionSetDescription("checking"), progressbar.OptionClearOnFinish())
}
