package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"fallrule/engine"
	"fallrule/engine/finding"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/report"
	"fallrule/engine/validate"
	"fallrule/plugins/bundled"
	"fallrule/plugins/sdk"
	"fallrule/profiles"
	"fallrule/schema"
)

// badPlugin makes this program a plugin that goes wrong in one way.
const badPlugin = "FALLRULE_TEST_BAD_PLUGIN"

// serveBad serves the bundled measurers with one that goes wrong among them.
func serveBad(mode string) {
	all := bundled.Measurers()
	for i, m := range all {
		if d, err := m.Describe(context.Background()); err == nil && d.Name == "geometry" {
			all[i] = bad{m, mode}
		}
	}
	sdk.Serve(all...)
}

type bad struct {
	sdk.Measurer
	mode string
}

func (b bad) Measure(ctx context.Context, r sdk.Request) (sdk.Response, error) {
	answer, err := b.Measurer.Measure(ctx, r)
	switch b.mode {
	case "killed":
		os.Exit(9) // half-way: described, asked, never answers
	case "hangs":
		select {}
	case "nonsense":
		for i := range answer.Measurements {
			if m := &answer.Measurements[i]; m.Quantity == "fall" {
				m.Band = &sdk.Band{Low: 5, Value: math.Copysign(0, -1), High: -5}
			} else if m.Quantity == "length" {
				m.Subject = "atlantis.waste"
			}
		}
	}
	return answer, err
}

// However a plugin goes wrong, the sheet comes, names it, and passes nothing
// for it.
func TestSheetComesWhateverAPluginDoes(t *testing.T) {
	sound := sheetWith(t, measure.Bundled())
	meets := map[string]bool{}
	for _, f := range sound.Findings {
		meets[f.Rule.Profile+f.Rule.ID+f.Subject+f.Quantity] = f.Verdict == finding.Meets
	}
	for _, mode := range []string{"killed", "hangs", "nonsense"} {
		t.Run(mode, func(t *testing.T) {
			sheet := sheetWith(t, measure.Source{Name: "bundled", Bundled: true, Start: func(ctx context.Context) (sdk.Plugin, error) {
				return sdk.Start(ctx, sdk.Command{Path: os.Args[0], Env: []string{badPlugin + "=" + mode}, Timeout: 2 * time.Second})
			}})
			if len(sheet.Findings) < len(sound.Findings)/2 {
				t.Errorf("%d findings, %d with a sound plugin", len(sheet.Findings), len(sound.Findings))
			}
			for _, f := range sheet.Findings {
				if f.Verdict == finding.Meets && !meets[f.Rule.Profile+f.Rule.ID+f.Subject+f.Quantity] {
					t.Errorf("%s %s %s becomes meets", f.Rule.ID, f.Subject, f.Quantity)
				}
			}
			if code := sheet.Exit(); code != finding.ExitBreaks && code != finding.ExitUnsettled {
				t.Errorf("exit code %d", code)
			}
			var out bytes.Buffer
			if err := report.Text(&out, sheet, report.Options{}); err != nil {
				t.Fatal(err)
			}
			if text := out.String(); !strings.Contains(text, "Plugins that failed") || !strings.Contains(text, "geometry") {
				t.Errorf("the sheet does not name the plugin:\n%s", text)
			}
		})
	}
}

func sheetWith(t *testing.T, source measure.Source) *finding.Sheet {
	t.Helper()
	const file = "../../testdata/houses/stone_house.yaml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		t.Fatal(err)
	}
	lay, faults := engine.Read(v, file, src)
	if lay == nil {
		t.Fatal(faults)
	}
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	set, err := profile.Load(context.Background(), profiles.FS, []string{"es"}, cat)
	if err != nil {
		t.Fatal(err)
	}
	e := engine.Engine{Profiles: set, Roles: []engine.Role{{Profile: "es", Binding: true}}, Sources: []measure.Source{source}}
	sheet, err := e.Check(context.Background(), lay, nil)
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}
