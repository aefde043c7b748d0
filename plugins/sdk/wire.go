package sdk

import (
	"encoding/json"
	"fmt"
	"math"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"

	pb "fallrule/plugins/sdk/internal/measurepb"
	"fallrule/plugins/sdk/plan"
)

// Conversion to and from the wire. It carries what it gets and judges none of
// it: whether an answer can stand is for the host to say.

func requestToWire(r Request) (*pb.MeasureRequest, error) {
	layout, err := json.Marshal(r.Plan)
	if err != nil {
		return nil, fmt.Errorf("write the layout for the plugin: %w", err)
	}
	return &pb.MeasureRequest{Plan: layout, Quantities: r.Quantities, Working: r.Working}, nil
}

func requestFromWire(w *pb.MeasureRequest) (Request, error) {
	var layout plan.Plan
	if err := json.Unmarshal(w.GetPlan(), &layout); err != nil {
		return Request{}, fmt.Errorf("read the layout: %w", err)
	}
	if layout.Version != plan.Version {
		return Request{}, fmt.Errorf("read the layout: it has form %d, this plugin knows form %d", layout.Version, plan.Version)
	}
	return Request{Plan: &layout, Quantities: w.GetQuantities(), Working: w.GetWorking()}, nil
}

func descriptionsToWire(list []Description) *pb.DescribeResponse {
	w := &pb.DescribeResponse{}
	for _, d := range list {
		one := &pb.Description{Name: d.Name, Version: d.Version}
		for _, q := range d.Quantities {
			one.Quantities = append(one.Quantities, &pb.Quantity{Name: q.Name, Unit: q.Unit, Doc: q.Doc})
		}
		w.Measurers = append(w.Measurers, one)
	}
	return w
}

func descriptionsFromWire(w *pb.DescribeResponse) []Description {
	var list []Description
	for _, one := range w.GetMeasurers() {
		d := Description{Name: one.GetName(), Version: one.GetVersion()}
		for _, q := range one.GetQuantities() {
			d.Quantities = append(d.Quantities, Quantity{Name: q.GetName(), Unit: q.GetUnit(), Doc: q.GetDoc()})
		}
		list = append(list, d)
	}
	return list
}

func answersToWire(a Answers) *pb.MeasureResponse {
	w := &pb.MeasureResponse{
		Measurements: make([]*pb.Measurement, len(a.Measurements)),
		Gaps:         make([]*pb.Gap, len(a.Gaps)),
	}
	for i, m := range a.Measurements {
		w.Measurements[i] = measurementToWire(m)
	}
	for i, g := range a.Gaps {
		w.Gaps[i] = &pb.Gap{Quantity: g.Quantity, Subject: g.Subject, Because: string(g.Because), Needs: g.Needs, Text: g.Text}
	}
	for _, f := range a.Faults {
		w.Faults = append(w.Faults, &pb.Fault{Measurer: f.Measurer, Text: f.Text})
	}
	return w
}

// unpack adds the entries of a MeasureResponse, each name kept once. An entry
// of a kind that a later version of the wire may bring is passed over.
func (a *Answers) unpack(data []byte) error {
	names := pool{}
	var (
		m pb.Measurement
		g pb.Gap
		f pb.Fault
	)
	return entries(data, func(field protowire.Number, entry []byte) error {
		var err error
		switch field {
		case 1:
			err = proto.Unmarshal(entry, &m)
			if n := len(m.GetStates().GetWords()); n > maxWords {
				return fmt.Errorf("one answer of %d words, at most %d are read", n, maxWords)
			}
			a.Measurements = append(a.Measurements, measurementFromWire(&m, names))
		case 2:
			err = proto.Unmarshal(entry, &g)
			a.Gaps = append(a.Gaps, gapFromWire(&g, names))
		case 3:
			err = proto.Unmarshal(entry, &f)
			a.Faults = append(a.Faults, Fault{f.GetMeasurer(), f.GetText()})
		}
		return err
	})
}

func gapFromWire(w *pb.Gap, names pool) Gap {
	return Gap{
		Quantity: names.one(w.GetQuantity()), Subject: names.one(w.GetSubject()),
		Because: Because(names.one(w.GetBecause())), Needs: names.one(w.GetNeeds()), Text: w.GetText(),
	}
}

func measurementToWire(m Measurement) *pb.Measurement {
	w := &pb.Measurement{Quantity: m.Quantity, Subject: m.Subject}
	switch {
	case m.Band != nil:
		w.Value = &pb.Measurement_Band{Band: bandToWire(*m.Band)}
	case len(m.States) > 0:
		w.Value = &pb.Measurement_States{States: &pb.States{Words: m.States}}
	}
	if m.Working != (Working{}) {
		w.Working = &pb.Working{Formula: m.Working.Formula, Numbers: m.Working.Numbers, Source: m.Working.Source}
	}
	return w
}

func measurementFromWire(w *pb.Measurement, names pool) Measurement {
	m := Measurement{Quantity: names.one(w.GetQuantity()), Subject: names.one(w.GetSubject())}
	switch value := w.GetValue().(type) {
	case *pb.Measurement_Band:
		m.Band = bandFromWire(value.Band)
	case *pb.Measurement_States:
		for _, word := range value.States.GetWords() {
			m.States = append(m.States, names.one(word))
		}
	}
	if k := w.GetWorking(); k != nil {
		m.Working = Working{Formula: names.one(k.GetFormula()), Numbers: k.GetNumbers(), Source: names.one(k.GetSource())}
	}
	return m
}

func bandToWire(b Band) *pb.Band {
	w := &pb.Band{Value: b.Value}
	if !math.IsInf(b.Low, -1) {
		w.Low = &b.Low
	}
	if !math.IsInf(b.High, 1) {
		w.High = &b.High
	}
	return w
}

func bandFromWire(w *pb.Band) *Band {
	b := &Band{Low: math.Inf(-1), Value: w.GetValue(), High: math.Inf(1)}
	if w != nil && w.Low != nil {
		b.Low = *w.Low
	}
	if w != nil && w.High != nil {
		b.High = *w.High
	}
	return b
}

// pool keeps one copy of each string.
type pool map[string]string

func (p pool) one(s string) string {
	if known, ok := p[s]; ok {
		return known
	}
	p[s] = s
	return s
}
