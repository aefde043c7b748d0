package engine

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fallrule/engine/finding"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/validate"
	"fallrule/plugins/bundled"
	"fallrule/profiles"
	"fallrule/schema"
)

// workshop is what every check of this package needs; it is made once.
type workshop struct {
	layouts  *validate.Validator
	heads    map[string]profile.Header
	set      *profile.Set
	measures []string // all quantities of the catalogue
}

var shop = sync.OnceValues(func() (*workshop, error) {
	return newWorkshop(profile.NewFolders(profiles.FS))
})

func newWorkshop(folders profile.Folders, only ...string) (*workshop, error) {
	cat, err := schema.Quantities()
	if err != nil {
		return nil, err
	}
	w := &workshop{measures: cat.Names}
	if w.layouts, err = validate.New("layout.schema.json", schema.Layout); err != nil {
		return nil, err
	}
	if w.heads, err = folders.Heads(); err != nil {
		return nil, err
	}
	if len(only) == 0 {
		only = ids(w.heads)
	}
	w.set, err = profile.Load(context.Background(), folders, only, cat)
	return w, err
}

// inspected is a layout with all that was found out about it.
type inspected struct {
	*finding.Sheet
	layout   *layout.Layout
	measures measure.Measures
}

// check judges a layout: doc is its text, or the name of a file under
// testdata/houses. binding names the profile that binds, "" lets the house's
// country say it; beside is one to compare, or "".
func check(t *testing.T, doc, binding, beside string) *finding.Sheet {
	t.Helper()
	return inspect(t, doc, binding, beside).Sheet
}

func inspect(t *testing.T, doc, binding, beside string) inspected {
	t.Helper()
	w, err := shop()
	if err != nil {
		t.Fatalf("load the profiles: %v", err)
	}
	return w.inspect(t, doc, binding, beside)
}

func (w *workshop) inspect(t *testing.T, doc, binding, beside string) inspected {
	t.Helper()
	name, src := "inline.yaml", []byte(doc)
	if !strings.Contains(doc, "\n") {
		name = filepath.Join("..", "testdata", "houses", doc)
		var err error
		if src, err = os.ReadFile(name); err != nil {
			t.Fatal(err)
		}
	}
	lay, warnings := Read(w.layouts, name, src)
	if lay == nil {
		t.Fatalf("%s was refused: %v", name, warnings)
	}
	roles, err := Choose(lay, w.heads, some(binding), some(beside))
	if err != nil {
		t.Fatal(err)
	}
	e := Engine{
		Version: "test", Layouts: w.layouts, Profiles: w.set, Roles: roles, Workings: true,
		Sources: []measure.Source{measure.Local(bundled.Measurers()...)},
	}
	sheet, err := e.Check(t.Context(), lay, warnings)
	if err != nil {
		t.Fatal(err)
	}
	m, err := e.Measure(t.Context(), lay, w.measures)
	if err != nil {
		t.Fatal(err)
	}
	return inspected{sheet, lay, m}
}

func some(id string) []string {
	if id == "" {
		return nil
	}
	return []string{id}
}

// found lists a rule's findings on a subject; rule is "profile/id".
func found(s *finding.Sheet, rule, subject string) []finding.Finding {
	var out []finding.Finding
	for _, f := range s.Findings {
		if f.Rule.Profile+"/"+f.Rule.ID == rule && f.Subject == subject {
			out = append(out, f)
		}
	}
	return out
}

// wants fails unless the rule gives one finding on the subject, with that
// verdict, and returns it.
func wants(t *testing.T, s *finding.Sheet, rule, subject string, v finding.Verdict) finding.Finding {
	t.Helper()
	all := found(s, rule, subject)
	if len(all) != 1 {
		t.Fatalf("%s on %s: %d findings, want one", rule, subject, len(all))
	}
	if all[0].Verdict != v {
		t.Errorf("%s on %s: %s (%s), want %s", rule, subject, all[0].Verdict, all[0].Message, v)
	}
	return all[0]
}

// about lists the findings of all rules on a subject that keep lets through.
func about(s *finding.Sheet, subject string, keep func(finding.Finding) bool) []finding.Finding {
	var out []finding.Finding
	for _, f := range s.Findings {
		if f.Subject == subject && keep(f) {
			out = append(out, f)
		}
	}
	return out
}

func broken(f finding.Finding) bool { return f.Verdict == finding.Breaks }

// band of a quantity, which must be known.
func (i inspected) band(t *testing.T, quantity, subject string) finding.Band {
	t.Helper()
	m, known := i.measures.Of(quantity, subject)
	if !known || m.Band == nil {
		t.Fatalf("%s of %s is not known: %s", quantity, subject, m.Text)
	}
	return *m.Band
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }
