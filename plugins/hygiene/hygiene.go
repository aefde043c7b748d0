// Package hygiene measures what in the water or round it can hurt: hot water,
// hot pipes that are to be cut, metal pipes that may carry a current, and
// electric things near a bath or shower. It judges nothing.
//
// Lead needs no measure of its own: a rule reads the quantities `material` of
// waste pipes and `supply_material` of supply pipes, or the fact `made_of` of
// both.
//
// What it takes for granted:
//   - Water at a tap is as hot as its heater is set, unless somebody read it
//     there; what it loses on the way is left out. A thermostatic mixer or
//     mixing valve hides the setting, so the tap must be read.
//   - Burns are those of an adult. The table ends at 45 °C and 60 °C; beyond, the
//     answer is "at least" or "at most" what its end says.
//   - A shut hot pipe cools in air by figures.yaml. One in a wall or in the
//     ground cools faster than in air.
//   - A metal pipe may carry a current whether or not it is known to be bonded.
//   - Bathroom zones are those of IEC 60364-7-701 round a bath or tray; a wall or
//     screen that cuts them short, a shower without a tray and a shower head
//     above 2.25 m are not looked at. National texts add to them. A footprint
//     lies along x and y, its waste anywhere in it.
//   - Between two rows the burn table is interpolated. Left out one by one, its
//     own rows come out at 0.8 to 1.8 times their figure.
//
// None of this replaces a thermometer, a voltage tester, or a licensed person.
package hygiene

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "hygiene"
	version = "1"
)

// Measurer answers for draw-offs, heaters, supply pipes and electric things.
var Measurer sdk.Measurer = tableOf(load)

// tableOf measures by the figures that are loaded.
func tableOf(load func() (figures, error)) reply.Table[*site] {
	survey := func(p *plan.Plan) (*site, error) {
		f, err := load()
		if err != nil {
			return nil, err
		}
		return newSite(p, f), nil
	}
	return reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
		reply.Measure("outlet_temperature", drawOffs(outletTemperature)),
		reply.Measure("burn_time", drawOffs(burnTime)),
		reply.Measure("store_temperature", heaters(storeTemperature)),
		reply.Measure("cooling_time", links(coolingTime)),
		reply.Measure("bonding", allLinks(bonding)),
		reply.Measure("zone", electrics(zone)),
	}}
}

// site is the plan by id, with the figures to measure by.
type site struct {
	figures
	plan    *plan.Plan
	heaters map[string]plan.Heater // those that stay or come
	valves  map[string]plan.Valve  // the same
	ends    map[string]bool        // heaters and sources: their inlet is not their outlet
	into    map[string][]plan.Link // staying links by the node they end at
	at      map[string][]plan.Link // all links by both nodes
	goes    map[string]bool        // draw-offs that are removed
	cuts    map[string][]string    // ids of the cuts in a link, by its id
}

func newSite(p *plan.Plan, f figures) *site {
	s := &site{figures: f, plan: p, heaters: map[string]plan.Heater{}, valves: map[string]plan.Valve{}, ends: map[string]bool{},
		into: map[string][]plan.Link{}, at: map[string][]plan.Link{}, goes: map[string]bool{}, cuts: cutsIn(p)}
	for _, h := range p.Heaters {
		s.ends[h.ID] = true
		if h.State != plan.Removed {
			s.heaters[h.ID] = h
		}
	}
	for _, x := range p.Sources {
		s.ends[x.ID] = true
	}
	for _, v := range p.Valves {
		if v.State != plan.Removed {
			s.valves[v.ID] = v
		}
	}
	for _, l := range p.Links {
		s.at[l.A], s.at[l.B] = append(s.at[l.A], l), append(s.at[l.B], l)
		if l.State != plan.Removed {
			s.into[l.B] = append(s.into[l.B], l)
		}
	}
	for _, d := range p.DrawOffs {
		s.goes[d.ID] = d.State == plan.Removed
	}
	return s
}

func drawOffs(f func(*site, plan.DrawOff) reply.Answer) reply.Each[*site] {
	return staying(func(p *plan.Plan) []plan.DrawOff { return p.DrawOffs }, func(x plan.DrawOff) (string, plan.State) { return x.ID, x.State }, f)
}

func heaters(f func(*site, plan.Heater) reply.Answer) reply.Each[*site] {
	return staying(func(p *plan.Plan) []plan.Heater { return p.Heaters }, func(x plan.Heater) (string, plan.State) { return x.ID, x.State }, f)
}

func links(f func(*site, plan.Link) reply.Answer) reply.Each[*site] {
	return staying(func(p *plan.Plan) []plan.Link { return p.Links }, func(x plan.Link) (string, plan.State) { return x.ID, x.State }, f)
}

func electrics(f func(*site, plan.Electric) reply.Answer) reply.Each[*site] {
	return staying(func(p *plan.Plan) []plan.Electric { return p.Electrics }, func(x plan.Electric) (string, plan.State) { return x.ID, x.State }, f)
}

// allLinks answers for the removed ones as well: they are what is cut out.
func allLinks(f func(*site, plan.Link) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, l := range p.Links {
			put(l.ID, f(s, l))
		}
	}
}

func staying[T any](list func(*plan.Plan) []T, key func(T) (string, plan.State), f func(*site, T) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, x := range list(p) {
			if id, state := key(x); state != plan.Removed {
				put(id, f(s, x))
			}
		}
	}
}
