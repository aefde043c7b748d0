// Package supply measures what water pipes bring: loading units and design
// flows to EN 806-3 and by French and US practice, speed, losses and the
// pressure left at a tap, dead legs of hot water, mixing and expansion.
package supply

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "supply"
	version = "1"
)

// Measurer answers for supply pipes, draw-offs, sources and fixtures.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("loading_units", links((*site).loadingUnits)),
	reply.Measure("supply_flow", links((*site).supplyFlow)),
	reply.Measure("supply_flow_fr", links((*site).frenchFlow)),
	reply.Measure("supply_flow_us", links((*site).usFlow)),
	reply.Measure("wsfu", links((*site).fixtureUnits)),
	reply.Measure("supply_bore", links((*site).bore)),
	reply.Measure("supply_velocity", links((*site).velocity)),
	reply.Measure("pressure_loss", links((*site).pressureLoss)),
	reply.Measure("static_head", drawOffs((*site).staticHead)),
	reply.Measure("pressure_left", drawOffs((*site).pressureLeft)),
	reply.Measure("source_flow", sources((*site).sourceFlow)),
	reply.Measure("source_pressure", sources((*site).sourcePressure)),
	reply.Measure("dead_leg", drawOffs((*site).deadLeg)),
	reply.Measure("hot_wait", drawOffs((*site).hotWait)),
	reply.Measure("mixed_temperature", reply.Fixtures((*site).mixed)),
	reply.Measure("expansion", links((*site).expansion)),
	reply.Measure("supply_clips", links((*site).clips)),
	reply.Measure("own_stop", drawOffs((*site).ownStop)),
	reply.Measure("supply_material", links((*site).madeOf)),
}}

func links(f func(*site, *plan.Link) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for i := range p.Links {
			if l := &p.Links[i]; l.State != plan.Removed {
				put(l.ID, f(s, l))
			}
		}
	}
}

func drawOffs(f func(*site, *plan.DrawOff) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for i := range p.DrawOffs {
			if d := &p.DrawOffs[i]; d.State != plan.Removed {
				put(d.ID, f(s, d))
			}
		}
	}
}

func sources(f func(*site, *plan.Source) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for i := range p.Sources {
			if x := &p.Sources[i]; x.State != plan.Removed {
				put(x.ID, f(s, x))
			}
		}
	}
}
