package sdk

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"
	"pgregory.net/rapid"

	pb "fallrule/plugins/sdk/internal/measurepb"
	"fallrule/plugins/sdk/plan"
)

// Whatever a measurer says crosses the wire unchanged; only the empty list
// and the missing one are the same there.
func TestAnswersCrossUnchanged(t *testing.T) {
	end := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{math.Inf(-1), math.Inf(1), 0, math.MaxFloat64}))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String()
		measurement := rapid.Custom(func(t *rapid.T) Measurement {
			m := Measurement{Quantity: text.Draw(t, "quantity"), Subject: text.Draw(t, "subject")}
			if rapid.Bool().Draw(t, "is a number") {
				m.Band = &Band{end.Draw(t, "low"), end.Draw(t, "value"), end.Draw(t, "high")}
			} else {
				m.States = rapid.SliceOfN(text, 1, 3).Draw(t, "words")
			}
			m.Working = Working{text.Draw(t, "formula"), text.Draw(t, "numbers"), text.Draw(t, "source")}
			return m
		})
		sent := Answers{
			Response: Response{
				Measurements: rapid.SliceOfN(measurement, 1, 5).Draw(t, "measurements"),
				Gaps:         []Gap{{text.Draw(t, "q"), text.Draw(t, "s"), Because(text.Draw(t, "b")), text.Draw(t, "n"), text.Draw(t, "t")}},
			},
			Faults: []Fault{{text.Draw(t, "measurer"), text.Draw(t, "fault")}},
		}
		if got := overTheWire(t, sent); !reflect.DeepEqual(got, sent) {
			t.Fatalf("sent %+v\ngot  %+v", sent, got)
		}
	})
}

func overTheWire(t interface{ Fatal(...any) }, a Answers) Answers {
	b, err := proto.Marshal(answersToWire(a))
	if err != nil {
		t.Fatal(err)
	}
	var got Answers
	if err := (reading{most: 100}).Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	return got
}

// Not-a-number crosses too: to refuse it is the host's part, not the wire's.
func TestNaNCrosses(t *testing.T) {
	got := overTheWire(t, Answers{Response: Response{Measurements: []Measurement{{Band: &Band{math.NaN(), math.NaN(), math.NaN()}}}}})
	b := got.Measurements[0].Band
	if !math.IsNaN(b.Low) || !math.IsNaN(b.Value) || !math.IsNaN(b.High) || b.Valid() {
		t.Errorf("%+v", b)
	}
}

func TestDescriptionsCrossUnchanged(t *testing.T) {
	sent := []Description{
		{Name: "geometry", Version: "1", Quantities: []Quantity{{"fall", "mm/m", "drop over level length"}, {"bends", "1", ""}}},
		{Name: "timber", Version: "2"},
	}
	if got := descriptionsFromWire(descriptionsToWire(sent)); !reflect.DeepEqual(got, sent) {
		t.Errorf("%+v", got)
	}
}

func TestRequestCrossesUnchanged(t *testing.T) {
	drop := plan.PlusMinus(36, 5, plan.Taped)
	open := plan.Reading{Low: 400, Value: 400, High: math.Inf(1), How: plan.Guessed}
	p := block(1)
	p.Branches[0].Legs = []plan.Leg{{Drop: &drop, Along: &open}}
	sent := Request{Plan: p, Quantities: []string{"fall"}, Working: true}
	w, err := requestToWire(sent)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := requestFromWire(w); err != nil || !reflect.DeepEqual(got, sent) {
		t.Errorf("%+v, %v", got, err)
	}
}

// A plugin that gets a form it does not know says so and does not guess.
func TestOtherFormOfTheLayoutIsRefused(t *testing.T) {
	tests := map[string]string{`{"version":2}`: "it has form 2", `{}`: "it has form 0", `[`: "read the layout"}
	for text, want := range tests {
		s := &server{party: party{echo{}}}
		_, err := s.Measure(context.Background(), &pb.MeasureRequest{Plan: []byte(text), Quantities: []string{"branches"}})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
}

func TestSizeIsLookedAtBeforeUnpacking(t *testing.T) {
	empty := func(n int) []byte {
		b, err := proto.Marshal(answersToWire(Answers{Response: Response{Gaps: make([]Gap, n)}}))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	long, err := proto.Marshal(answersToWire(Answers{Response: Response{Gaps: []Gap{{Text: strings.Repeat("x", maxEntry)}}}}))
	if err != nil {
		t.Fatal(err)
	}
	words, err := proto.Marshal(answersToWire(Answers{Response: Response{Measurements: []Measurement{{States: make([]string, maxWords+1)}}}}))
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		data []byte
		want string
	}{
		{"as many as asked for", empty(10), ""},
		{"one more", empty(11), "more than the 10 answers"},
		{"one too long", long, "one answer of"},
		{"too many words", words, "one answer of 65 words"},
		{"cut off", long[:20], "unexpected EOF"},
		{"no messages", []byte{0x08, 0x01}, "no message"},
		{"of a later version", []byte{0x22, 0x01, 0x00}, ""},
		{"not UTF-8", []byte{0x0a, 0x03, 0x0a, 0x01, 0xff}, "invalid UTF-8"},
		{"rubbish", []byte{0xff, 0xff, 0xff}, "read the answer"},
	}
	for _, test := range tests {
		err := reading{most: 10}.Unmarshal(test.data, new(Answers))
		if test.want == "" && err != nil || test.want != "" && (err == nil || !strings.Contains(err.Error(), test.want)) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
}

// The most answers that can honestly come are never called a flood: every
// list of the plan counts.
func TestEveryListOfThePlanCounts(t *testing.T) {
	var p plan.Plan
	v := reflect.ValueOf(&p).Elem()
	lists := 0
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Slice {
			f.Set(reflect.MakeSlice(f.Type(), 1, 1))
			lists++
		}
	}
	if got := subjects(&p); got != lists+1 {
		t.Errorf("%d subjects counted, %d lists and the house", got, lists)
	}
}

type broken struct{ err error }

func (b broken) Describe(context.Context) (Description, error) {
	return Description{Name: "broken", Quantities: []Quantity{{Name: "fall"}}}, nil
}

func (b broken) Measure(context.Context, Request) (Response, error) {
	if b.err == nil {
		panic("no tape")
	}
	return Response{}, b.err
}

// A measurer that breaks costs its own quantities; the other's answers stand.
func TestLocalPlugin(t *testing.T) {
	for text, b := range map[string]broken{"panic: no tape": {}, "torn": {errors.New("torn")}} {
		a, err := Local(b, echo{}).Measure(context.Background(), Request{Plan: block(2), Quantities: []string{"branches", "fall"}})
		if err != nil || len(a.Measurements) != 1 || !reflect.DeepEqual(a.Faults, []Fault{{"broken", text}}) {
			t.Errorf("%+v, %v", a, err)
		}
		// Who is not asked is not called.
		a, err = Local(b, echo{}).Measure(context.Background(), Request{Plan: block(2), Quantities: []string{"branches"}})
		if err != nil || len(a.Measurements) != 1 || len(a.Faults) != 0 {
			t.Errorf("%+v, %v", a, err)
		}
	}
}

func TestLastWords(t *testing.T) {
	tests := map[string]string{
		"":                               "",
		"a\nb\n":                         "b",
		"a\n\n":                          "a",
		"x\npanic: y\ngoroutine 1\n":     "panic: y",
		"\x1b[2Jred\n":                   "[2Jred",
		strings.Repeat("x", 1000) + "\n": strings.Repeat("x", longestLine),
	}
	for log, want := range tests {
		var w lastWords
		for _, c := range []byte(log) {
			_, _ = w.Write([]byte{c})
		}
		if got := w.String(); got != want {
			t.Errorf("%.40q: %q, want %q", log, got, want)
		}
	}
}
