package layout

import (
	"math"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// air reads fans, and what is electric near water.
func (r *reader) air() {
	if n := r.doc.Lookup("air", "fan"); n != nil {
		r.fan("fan", n)
	}
	for _, p := range pairs(r.doc.Lookup("air", "fans")) {
		r.fan(p.Key, p.Value)
	}
	for _, p := range pairs(r.doc.Get("electrics")) {
		n, state := p.Value, stateOf(p.Value, plan.Existing)
		e := plan.Electric{
			ID: p.Key, State: state, Kind: word(n.Get("kind")), Room: text(n.Get("room")), At: r.position(n.Get("at"), state),
			Volts: r.volts(n.Get("volts")), Protected: word(n.Get("protected")),
		}
		e.NearTo = r.nearestBath(e)
		r.plan.Electrics = append(r.plan.Electrics, e)
	}
}

func (r *reader) fan(id string, n *document.Node) {
	state := stateOf(n, plan.New)
	duct := n.Get("duct")
	r.plan.Fans = append(r.plan.Fans, plan.Fan{
		ID: id, State: state, Room: text(n.Get("room")), At: r.position(n.Get("at"), state),
		Flow: r.print(n.Get("flow"), quantity.Flow, state), Overrun: r.print(n.Get("overrun"), quantity.Time, state), RunsWith: word(n.Get("runs_with")),
		Duct: r.ductSize(duct.Get("size"), state), DuctMade: word(duct.Get("made_of")), Length: r.length(duct.Get("length"), state),
		Bends: r.bends(duct.Get("bends")), Ends: word(duct.Get("ends")), Reuses: text(duct.Get("reuses")),
	})
}

// ductSize is told by a duct's inner size: no stock table of pipe knows it.
func (r *reader) ductSize(n *document.Node, state plan.State) *plan.Size {
	if n == nil {
		return nil
	}
	s := r.sizeTold(n, state)
	if s.Stamp != "" && s.Bore == nil {
		if q, err := quantity.Parse(s.Stamp, quantity.Length); err == nil && q.Word == "" {
			s.Bore = &plan.Reading{Low: q.Reading.Value - gaugedWithin, Value: q.Reading.Value, High: q.Reading.Value + gaugedWithin, How: plan.Stamped}
			s.Source, s.Basis = "a duct is named by its inner size", "common_practice"
		}
	}
	return known(s)
}

// volts reads a voltage, "230 V"; it has no dimension of its own.
func (r *reader) volts(n *document.Node) *plan.Reading {
	written := text(n)
	if written == "" || written == unknown || written == none {
		return nil
	}
	q, err := quantity.Parse(strings.ReplaceAll(written, "V", ""), quantity.Ratio)
	if err != nil || !strings.Contains(written, "V") {
		r.add(document.Fault{At: n.At, What: quoted(written) + " is not a voltage", Allowed: "230 V, 12 V"})
		return nil
	}
	v := q.Reading
	v.How = plan.Stamped
	return &v
}

// nearestBath is the bath or shower that a thing's zones are counted from: of
// those with coordinates in its room the nearest. When nobody told its room,
// all of them must stand in one.
func (r *reader) nearestBath(e plan.Electric) string {
	if len(e.At) < 2 {
		return ""
	}
	nearest, least, room := "", math.Inf(1), ""
	for _, f := range r.plan.Fixtures {
		if f.Kind != "bath" && f.Kind != "shower" || f.State == plan.Removed || len(f.At) < 2 || e.Room != "" && f.Room != e.Room {
			continue
		}
		if nearest != "" && f.Room != room {
			return ""
		}
		if d := math.Hypot(f.At[0].Value-e.At[0].Value, f.At[1].Value-e.At[1].Value); d < least {
			nearest, least = f.ID, d
		}
		room = f.Room
	}
	return nearest
}
