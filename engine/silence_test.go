package engine

import (
	"context"
	"fmt"
	"os"
	"slices"
	"testing"

	"fallrule/engine/finding"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/validate"
	"fallrule/plugins/bundled"
	"fallrule/plugins/sdk"
	"fallrule/profiles"
	"fallrule/schema"
)

// bench is a house and an engine to try things on; all profiles bind.
type bench struct {
	engine *Engine
	layout *layout.Layout
}

func newBench(t *testing.T, file string, ids ...string) bench {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		t.Fatal(err)
	}
	lay, faults := Read(v, file, src)
	if lay == nil {
		t.Fatal(faults)
	}
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	set, err := profile.Load(context.Background(), profile.NewFolders(profiles.FS), ids, cat)
	if err != nil {
		t.Fatal(err)
	}
	var roles []Role
	for _, id := range ids {
		roles = append(roles, Role{Profile: id, Binding: true})
	}
	return bench{&Engine{Version: "test", Profiles: set, Roles: roles, Sources: []measure.Source{measure.Local(bundled.Measurers()...)}}, lay}
}

func (b bench) check(t *testing.T, sources ...measure.Source) *finding.Sheet {
	t.Helper()
	e := *b.engine
	if len(sources) > 0 {
		e.Sources = sources
	}
	sheet, err := e.Check(context.Background(), b.layout, nil)
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func key(f finding.Finding) string {
	return fmt.Sprintf("%s/%s/%s/%s", f.Rule.Profile, f.Rule.ID, f.Subject, f.Quantity)
}

func byKey(s *finding.Sheet) map[string]finding.Finding {
	out := map[string]finding.Finding{}
	for _, f := range s.Findings {
		out[key(f)] = f
	}
	return out
}

// without is the bundled measurers less one quantity: it is still offered by
// nobody else, as if its measurer had been taken out.
func without(quantity string) measure.Source {
	var out []sdk.Measurer
	for _, m := range bundled.Measurers() {
		out = append(out, lacking{m, quantity})
	}
	return measure.Local(out...)
}

type lacking struct {
	sdk.Measurer
	quantity string
}

func (l lacking) Describe(ctx context.Context) (sdk.Description, error) {
	d, err := l.Measurer.Describe(ctx)
	d.Quantities = slices.DeleteFunc(slices.Clone(d.Quantities), func(q sdk.Quantity) bool { return q.Name == l.quantity })
	return d, err
}

// Take any one quantity away: no finding vanishes, none becomes meets, and one
// whose outcome hung on it says that it cannot tell, and for want of what.
func TestNoSilenceWithoutAnyQuantity(t *testing.T) {
	b := newBench(t, "../testdata/houses/stone_house.yaml", "es", "uk")
	before := byKey(b.check(t))
	turned := 0
	for _, quantity := range b.engine.Profiles.Quantities() {
		after := byKey(b.check(t, without(quantity)))
		for k, was := range before {
			is, still := after[k]
			if !still {
				t.Errorf("without %s: %s vanishes", quantity, k)
				continue
			}
			if is.Verdict == finding.Meets && was.Verdict != finding.Meets {
				t.Errorf("without %s: %s becomes meets, and was %s", quantity, k, was.Verdict)
			}
			if is.Verdict == was.Verdict {
				continue
			}
			turned++
			if is.Verdict != finding.CannotTell || !slices.Contains(is.Undecided, quantity) || is.Measured[quantity].Because != finding.PluginFault {
				t.Errorf("without %s: %s is %s because %q for want of %v, and was %s", quantity, k, is.Verdict, is.Because, is.Undecided, was.Verdict)
			}
		}
	}
	if turned < 100 {
		t.Errorf("only %d findings hung on a quantity: this test looks at too little", turned)
	}
}

// Take any one plugin away: the same, and the sheet still comes.
func TestNoSilenceWithoutAnyPlugin(t *testing.T) {
	b := newBench(t, "../testdata/houses/stone_house.yaml", "es", "uk")
	before := byKey(b.check(t))
	all := bundled.Measurers()
	for i := range all {
		rest := slices.Delete(slices.Clone(all), i, i+1)
		after := byKey(b.check(t, measure.Local(rest...)))
		turned := 0
		for k, was := range before {
			is, still := after[k]
			switch {
			case !still:
				t.Errorf("without plugin %d: %s vanishes", i, k)
			case is.Verdict == finding.Meets && was.Verdict != finding.Meets:
				t.Errorf("without plugin %d: %s becomes meets, and was %s", i, k, was.Verdict)
			case is.Verdict != was.Verdict && is.Verdict != finding.CannotTell:
				t.Errorf("without plugin %d: %s becomes %s, and was %s", i, k, is.Verdict, was.Verdict)
			case is.Verdict != was.Verdict:
				turned++
			}
		}
		if turned == 0 && needed(t, b, all[i]) {
			t.Errorf("nothing hangs on plugin %d, though rules need its quantities", i)
		}
	}
}

// needed tells whether any rule names a quantity of a measurer.
func needed(t *testing.T, b bench, m sdk.Measurer) bool {
	t.Helper()
	d, err := m.Describe(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	wanted := b.engine.Profiles.Quantities()
	return slices.ContainsFunc(d.Quantities, func(q sdk.Quantity) bool { return slices.Contains(wanted, q.Name) })
}

// Take any one row out of any table: no finding vanishes and none becomes
// meets that was not. A subject that loses its only row cannot be told; one
// that keeps an alternative is judged by that.
func TestNoSilenceWithoutAnyRow(t *testing.T) {
	b := newBench(t, "../testdata/houses/stone_house.yaml", "es", "uk")
	asked, err := b.engine.Profiles.Ask(context.Background(), b.layout.Input())
	if err != nil {
		t.Fatal(err)
	}
	m, err := b.engine.Measure(context.Background(), b.layout, b.engine.Profiles.Quantities())
	if err != nil {
		t.Fatal(err)
	}
	known := knowledge{b.engine.Profiles, m, b.layout}
	rows, lost := 0, 0
	for _, role := range b.engine.Roles {
		for _, a := range asked[role.Profile] {
			before := judgeRule(a, role, b.layout, known)
			for _, less := range rowLess(a) {
				rows++
				lost += compareRowLess(t, before, judgeRule(less, role, b.layout, known))
			}
		}
	}
	if rows < 200 || lost < 50 {
		t.Errorf("%d rows taken out, %d findings lost their only row: this test looks at too little", rows, lost)
	}
}

// rowLess gives the answer of a rule once for each row of its longest
// requirement, with that row gone from every requirement.
func rowLess(a profile.Asked) []profile.Asked {
	most := 0
	for _, r := range a.Requirements {
		most = max(most, len(r.Any))
	}
	var out []profile.Asked
	for i := range most {
		less := a
		less.Requirements = nil
		for _, r := range a.Requirements {
			if i < len(r.Any) {
				r.Any = slices.Delete(slices.Clone(r.Any), i, i+1)
			}
			if len(r.Any) > 0 { // profiles/lib gives no requirement without a row
				less.Requirements = append(less.Requirements, r)
			}
		}
		out = append(out, less)
	}
	return out
}

// compareRowLess counts the subjects that lost their only row.
func compareRowLess(t *testing.T, before, after []finding.Finding) (lost int) {
	t.Helper()
	was, is := verdicts(before), verdicts(after)
	for subject, verdict := range is {
		if verdict == finding.Meets && was[subject] != finding.Meets {
			t.Errorf("a row less: %s %s becomes meets, and was %s", before[0].Rule.ID, subject, was[subject])
		}
	}
	for _, f := range after {
		if f.Because == finding.OutsideTable && f.Verdict == finding.CannotTell {
			lost++
		}
	}
	for subject := range was {
		if _, still := is[subject]; !still {
			t.Errorf("a row less: %s %s vanishes", before[0].Rule.ID, subject)
		}
	}
	return lost
}

// verdicts gives the worst verdict of each subject: a requirement of one row
// has a finding for each quantity, and is met when all are.
func verdicts(findings []finding.Finding) map[string]finding.Verdict {
	out := map[string]finding.Verdict{}
	for _, f := range findings {
		worst, seen := out[f.Subject]
		if !seen || slices.Index(finding.Verdicts, f.Verdict) < slices.Index(finding.Verdicts, worst) {
			out[f.Subject] = f.Verdict
		}
	}
	return out
}
