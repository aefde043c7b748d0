package layout

import (
	"math"

	"fallrule/engine/document"
	"fallrule/engine/layout/stock"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// water reads the supply: where the water comes from, what it runs through and
// where it is drawn.
func (r *reader) water() {
	supply := r.doc.Get("supply")
	if n := supply.Get("meter"); n != nil {
		r.source("meter", n)
	}
	for _, p := range pairs(supply.Get("sources")) {
		r.source(p.Key, p.Value)
	}
	if n := supply.Get("heater"); n != nil {
		r.heater("heater", n)
	}
	for _, p := range pairs(supply.Get("heaters")) {
		r.heater(p.Key, p.Value)
	}
	for _, p := range pairs(supply.Get("valves")) {
		n := p.Value
		r.plan.Valves = append(r.plan.Valves, plan.Valve{
			ID: p.Key, State: stateOf(n, plan.Existing), Kind: word(n.Get("kind")), Holds: word(n.Get("holds")), Owner: word(n.Get("owner")),
			Reach: word(n.Get("reach")), Room: text(n.Get("room")),
		})
	}
	r.drawOffs()
	r.lines()
	r.manifolds()
	r.partLines()
	r.cuts()
	r.runOfWater()
}

func (r *reader) source(id string, n *document.Node) {
	state := stateOf(n, plan.Existing)
	bucket := n.Get("bucket")
	r.plan.Sources = append(r.plan.Sources, plan.Source{
		ID: id, State: state, Kind: word(n.Get("kind")), Room: text(n.Get("room")),
		Static: r.pressure(n.Get("static"), state), Running: r.pressure(n.Get("running"), state), Level: r.level(n.Get("level"), state),
		Bucket: r.bucket(bucket, state), BucketAt: text(bucket.Get("at")),
		Check: word(n.Get("check_valve")), Reducer: word(n.Get("reducer")),
	})
}

// bucket is the flow that filled a bucket: its volume over the time, l/s, most
// over least. nil when one of them is missing.
func (r *reader) bucket(n *document.Node, state plan.State) *plan.Reading {
	volume, time := r.read(n.Get("volume"), quantity.Volume, taped, state), r.read(n.Get("time"), quantity.Time, taped, state)
	if volume == nil || time == nil || time.Low <= 0 || volume.Value <= 0 || !volume.Closed() || !time.Closed() {
		return nil
	}
	return &plan.Reading{
		Low: math.Max(0, volume.Low) / time.High, Value: volume.Value / time.Value, High: volume.High / time.Low, How: plan.Computed,
	}
}

// heater reads what heats the water. What it is set to is read off its dial
// and has no band but the one it tells.
func (r *reader) heater(id string, n *document.Node) {
	state := stateOf(n, plan.Existing)
	safety := n.Get("safety_valve")
	h := plan.Heater{
		ID: id, State: state, Kind: word(n.Get("kind")), Room: text(n.Get("room")), System: word(n.Get("system")), Expansion: word(n.Get("expansion")),
		Circulates: word(n.Get("circulates")), Safety: word(safety),
		Set:         r.print(n.Get("set"), quantity.Temperature, state),
		Volume:      r.print(n.Get("volume"), quantity.Volume, state),
		SafetyOpens: r.print(safety.Get("opens"), quantity.Pressure, state),
	}
	if safety != nil && safety.Kind == document.Map {
		h.Safety = word(safety.Get("tested"))
	}
	r.plan.Heaters = append(r.plan.Heaters, h)
}

func (r *reader) pressure(n *document.Node, state plan.State) *plan.Reading {
	return r.read(n, quantity.Pressure, taped, state)
}

// waterSize is the size of a water pipe: what is stamped on it, and what was
// measured on it told beside the stamp.
func (r *reader) waterSize(size, pipe *document.Node, madeOf string, state plan.State) *plan.Size {
	if size == nil && pipe == nil {
		return nil
	}
	s := r.sizeTold(size, state)
	r.diameters(&s, pipe, state)
	if s.Stamp == "" && s.Bore == nil && s.Outer != nil {
		r.boreByOuter(&s, madeOf)
	}
	if s.Stamp == "" || s.Bore != nil {
		return known(s)
	}
	found, ok := stock.FindSupply(s.Market, s.Stamp, madeOf)
	if !ok {
		r.add(document.Fault{
			At: size.At, What: quoted(s.Stamp) + " is no size in the stock table of water pipe: its bore is not known; measure it, `size: { outer: …, bore: … }`",
			Allowed: list(stock.SupplySizes(s.Market, madeOf)), Warning: true,
		})
		return known(s)
	}
	if s.Outer == nil {
		s.Outer = &found.Outer
	}
	s.Bore, s.Source, s.Basis, s.Market = &found.Bore, found.Source, found.Basis, found.Market
	return &s
}

// boreByOuter takes the bore of a pipe measured across from the stock: an old
// pipe carries no stamp, and its outside tells what it was bought as.
func (r *reader) boreByOuter(s *plan.Size, madeOf string) {
	if found, ok := stock.FindSupplyByOuter(s.Market, *s.Outer, madeOf); ok {
		s.Bore, s.Source, s.Basis = &found.Bore, found.Source, found.Basis
	}
}
