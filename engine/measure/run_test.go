package measure

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"fallrule/engine/finding"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func local(name string, bundled bool, m ...sdk.Measurer) Source {
	s := Local(m...)
	s.Name, s.Bundled = name, bundled
	return s
}

func TestBundledProgramStartsItself(t *testing.T) {
	m := Run(context.Background(), layout(), wanted, []Source{Bundled()}, catalogue(t), Options{})
	got, ok := m.Of("drop", "b")
	want := finding.Measured{Unit: "mm", Band: &finding.Band{Low: math.Inf(-1), Value: 30, High: 31}, Plugin: "good"}
	if !ok || !reflect.DeepEqual(got, want) {
		t.Errorf("drop of b: %+v, want %+v; %+v", got, want, m.Plugins)
	}
	wantFault(t, m, "fall", "", "no plugin measures fall")
}

// Both forms of a source answer alike, to the last word.
func TestLocalAnswersLikeAProcess(t *testing.T) {
	near := Run(context.Background(), layout(), wanted, []Source{Local(good)}, catalogue(t), Options{})
	far := Run(context.Background(), layout(), wanted, []Source{Bundled()}, catalogue(t), Options{})
	if !reflect.DeepEqual(near, far) {
		t.Errorf("here:   %+v\nbeyond: %+v", near, far)
	}
}

func TestOffersOfTheSameQuantity(t *testing.T) {
	offer := func(name string, value float64, q ...sdk.Quantity) fake {
		return fake{name: name, offers: q, value: value, word: "falls"}
	}
	sources := []Source{
		local("x", false, offer("x", 1, fall, length)),
		local("y", false, offer("y", 2, length, runs)),
		local("bundled", true, offer("own", 20, fall)),
	}
	m := Run(context.Background(), layout(), []string{"fall", "length", "runs", "fall", "slope"}, sources, catalogue(t), Options{})
	wantStands(t, m)
	if got, _ := m.Of("fall", "a"); got.Plugin != "own" {
		t.Errorf("the bundled offer does not stand: %+v", got)
	}
	wantFault(t, m, "length", "x and y", "length is offered by x and y; neither counts")
	want := []PluginInfo{
		{Name: "own", Version: "1", Quantities: []string{"fall"}},
		{Name: "x", Version: "1", Fault: "length is offered by x and y; neither counts; its offer of fall is refused: own comes with the tool and measures it"},
		{Name: "y", Version: "1", Quantities: []string{"runs"}, Fault: "length is offered by x and y; neither counts"},
	}
	if !reflect.DeepEqual(m.Plugins, want) {
		t.Errorf("plugins:\n%+v\nwant\n%+v", m.Plugins, want)
	}
	if _, ok := m.Of("slope", "a"); ok {
		t.Error("an unknown quantity is answered")
	}
}

// A wrong unit is no rival to an offer that is right.
func TestWrongUnitDoesNotHideARightOffer(t *testing.T) {
	sources := []Source{
		local("x", false, fake{name: "x", offers: []sdk.Quantity{{Name: "fall", Unit: "%"}}}),
		local("y", false, fake{name: "y", offers: []sdk.Quantity{fall, runs}, value: 20, word: "falls"}),
	}
	wantStands(t, Run(context.Background(), layout(), wanted, sources, catalogue(t), Options{}))
}

func TestForeignPluginCannotPassForAnother(t *testing.T) {
	sources := []Source{
		local("bundled", true, fake{name: "geometry", offers: []sdk.Quantity{drop}}),
		local("x", false, fake{name: "geometry", offers: []sdk.Quantity{fall, {Name: "slope", Unit: "1"}}}),
	}
	list := Describe(context.Background(), sources, catalogue(t))
	want := []PluginInfo{
		{Name: "geometry", Version: "1", Quantities: []string{"drop"}},
		{Name: "x/geometry", Version: "1", Quantities: []string{"fall"}, Fault: `offers "slope", which the catalogue does not know`},
	}
	if !reflect.DeepEqual(list, want) {
		t.Errorf("%+v\nwant\n%+v", list, want)
	}
}

// Two measurers of one process: one that breaks costs its own quantities.
func TestTwoMeasurersInOneProcess(t *testing.T) {
	_, c := process(t, "bad", "one of two breaks")
	both := []string{"fall", "length"}
	m := Run(context.Background(), layout(), both, []Source{External("x", c)}, catalogue(t), Options{})
	wantFault(t, m, "fall", "x/bad", "plugin x/bad: measure: panic: the pipe burst")
	if got, _ := m.Of("length", "a"); got.Band == nil || got.Band.Value != 900 || got.Plugin != "x/second" {
		t.Errorf("length of a: %+v", got)
	}
}

func TestEndedContextIsAFault(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	hanging := bad{misbehaviours["hang"]}
	m := Run(ctx, layout(), wanted, []Source{Local(hanging)}, catalogue(t), Options{})
	wantFault(t, m, "fall", "bad", "context deadline exceeded")
}

func TestWorkingIsKeptWhenAskedFor(t *testing.T) {
	work := sdk.Working{Formula: "fall = drop / level length", Numbers: "36 mm / 1.80 m = 20 mm/m", Source: "geometry"}
	source := Local(bad{spoiling(func(m *sdk.Measurement) { m.Working = work })})
	with := Run(context.Background(), layout(), wanted, []Source{source}, catalogue(t), Options{Working: true})
	if got, _ := with.Of("fall", "a"); got.Working != finding.Working(work) || got.Band == nil || got.Unit != "mm/m" {
		t.Errorf("with working: %+v", got)
	}
	without := Run(context.Background(), layout(), wanted, []Source{source}, catalogue(t), Options{})
	if got, _ := without.Of("fall", "a"); got.Working != (finding.Working{}) || got.Band == nil {
		t.Errorf("without: %+v", got)
	}
}

func TestGapsCarryOver(t *testing.T) {
	gap := sdk.Gap{Quantity: "fall", Subject: "a", Because: sdk.NotTold, Needs: "a.waste.fall", Text: "The fall of a is not given."}
	source := Local(bad{func(r sdk.Request) (sdk.Response, error) {
		out := honest(r)
		out.Measurements = out.Measurements[1:]
		out.Gaps = []sdk.Gap{gap}
		return out, nil
	}})
	m := Run(context.Background(), layout(), wanted, []Source{source}, catalogue(t), Options{})
	want := finding.Measured{Because: finding.NotAsked, Needs: gap.Needs, Text: gap.Text, Plugin: "bad"}
	if got, _ := m.Of("fall", "a"); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// Every reason a measurer may give is one the sheet can fold by.
func TestReasonsAreTheSameOnBothSides(t *testing.T) {
	pairs := map[sdk.Because]finding.Because{
		sdk.NotMeasured: finding.NotMeasured, sdk.NotYet: finding.NotYet,
		sdk.NotTold: finding.NotAsked, sdk.OutOfRange: finding.OutsideTable,
	}
	for ours, theirs := range pairs {
		if string(ours) != string(theirs) {
			t.Errorf("%s and %s", ours, theirs)
		}
	}
}

// All goes through quantities as wanted and subjects as planned, and says what
// Of says.
func TestAllIsInOrder(t *testing.T) {
	source := Local(bad{func(r sdk.Request) (sdk.Response, error) { return honest(r), nil }})
	m := Run(context.Background(), layout(), []string{"runs", "seal", "fall"}, []Source{source}, catalogue(t), Options{})
	var order []string
	for key, got := range m.All() {
		order = append(order, key.Quantity+" "+key.Subject)
		if alone, ok := m.Of(key.Quantity, key.Subject); !ok || !reflect.DeepEqual(alone, got) {
			t.Errorf("%v: %+v and %+v", key, got, alone)
		}
	}
	if got := strings.Join(order, ", "); got != "runs a, runs b, seal a.trap, fall a, fall b" {
		t.Error(got)
	}
	if _, ok := m.Of("fall", "a.trap"); ok {
		t.Error("a trap has a fall")
	}
}

// Every kind the catalogue gives a quantity to has subjects here.
func TestEveryKindIsKnown(t *testing.T) {
	cat, kinds := catalogue(t), subjectsOf(&plan.Plan{})
	for _, name := range cat.Names {
		for _, kind := range cat.ByName[name].Of {
			if _, ok := kinds[kind]; !ok {
				t.Errorf("%s is of %s, which no plan has", name, kind)
			}
		}
	}
}

func block(n int) *plan.Plan {
	p := &plan.Plan{Version: plan.Version}
	for i := range n {
		p.Branches = append(p.Branches, plan.Pipe{ID: fmt.Sprintf("flat%d.bath.waste", i)})
	}
	return p
}

func BenchmarkRun(b *testing.B) {
	for _, n := range []int{10, 10_000} {
		p := block(n)
		for name, source := range map[string]Source{"local": Local(good), "process": Bundled()} {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					m := Run(context.Background(), p, wanted, []Source{source}, catalogue(b), Options{})
					if got, _ := m.Of("drop", "flat7.bath.waste"); got.Band == nil {
						b.Fatal(got.Text)
					}
				}
			})
		}
	}
}
