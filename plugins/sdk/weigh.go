package sdk

import (
	"errors"
	"fmt"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"

	"fallrule/plugins/sdk/plan"
)

// Bounds of the wire. An honest plugin does not come near them.
const (
	// MaxMessage is the size of one message either way, in bytes.
	MaxMessage = 256 << 20
	// MaxText is the length of one text of an answer, in bytes.
	MaxText = 16 << 10
	// maxEntry bounds one measurement or gap, all its texts together.
	maxEntry = 4*MaxText + 4<<10
	// maxWords bounds the words of one state.
	maxWords = 64
	// maxDescribe bounds what a plugin says of itself.
	maxDescribe = 1 << 20
)

// reading is the host's codec. It takes answers apart one by one, straight into
// Answers: a block of flats has millions, and the wire's own form of them is
// the largest. Before that it looks at their number and size: two bytes on the
// wire become a hundred in memory, so that 256 MiB of empty answers would
// take the host down with the plugin.
type reading struct{ most int } // answers that are read at most

// Name is that of the stock codec, which the plugin uses.
func (reading) Name() string { return "proto" }

// Marshal writes as the stock codec does.
func (reading) Marshal(v any) ([]byte, error) {
	m, ok := v.(proto.Message)
	if !ok {
		return nil, fmt.Errorf("write a message: %T is none", v)
	}
	return proto.Marshal(m)
}

// Unmarshal reads a MeasureResponse into *Answers.
func (r reading) Unmarshal(data []byte, v any) error {
	a, ok := v.(*Answers)
	if !ok {
		return fmt.Errorf("read the answer into %T", v)
	}
	var count [4]int
	err := entries(data, func(field protowire.Number, entry []byte) error {
		if len(entry) > maxEntry {
			return fmt.Errorf("one answer of %d bytes, at most %d are read", len(entry), maxEntry)
		}
		kind := min(field, 3)
		if count[kind]++; count[1]+count[2]+count[3] > r.most {
			return fmt.Errorf("more than the %d answers asked for", r.most)
		}
		return nil
	})
	if err != nil {
		return err
	}
	a.Measurements, a.Gaps = make([]Measurement, 0, count[1]), make([]Gap, 0, count[2])
	return a.unpack(data)
}

// entries goes through the fields of a message that holds only messages.
func entries(data []byte, f func(field protowire.Number, entry []byte) error) error {
	for len(data) > 0 {
		field, kind, n := protowire.ConsumeTag(data)
		if n < 0 {
			return fmt.Errorf("read the answer: %w", protowire.ParseError(n))
		}
		if kind != protowire.BytesType {
			return errors.New("read the answer: it holds something that is no message")
		}
		entry, m := protowire.ConsumeBytes(data[n:])
		if m < 0 {
			return fmt.Errorf("read the answer: %w", protowire.ParseError(m))
		}
		if err := f(field, entry); err != nil {
			return err
		}
		data = data[n+m:]
	}
	return nil
}

// mostAnswers is a generous count of what a request can be answered with:
// every subject for every quantity, and a fault of each measurer.
func mostAnswers(r Request) int {
	const faults = 64
	return len(r.Quantities)*subjects(r.Plan) + faults
}

func subjects(p *plan.Plan) int {
	if p == nil {
		return 0
	}
	const house = 1
	return house + len(p.Rooms) + len(p.Floors) + len(p.Joists) + len(p.Openings) + len(p.Walls) + len(p.Sleeves) +
		len(p.Fixtures) + len(p.Traps) + len(p.Branches) + len(p.Drains) + len(p.Stacks) + len(p.Vents) + len(p.Access) +
		len(p.EntryPairs) + len(p.OpeningPairs) + len(p.TerminalOpenings) + len(p.Tests) +
		len(p.Sources) + len(p.Heaters) + len(p.Valves) + len(p.Links) + len(p.DrawOffs) + len(p.Fans) + len(p.Electrics) +
		len(p.Crossings) + len(p.Chases)
}
