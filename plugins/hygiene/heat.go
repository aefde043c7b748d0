package hygiene

import (
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// heat is what water at a place is warmed to.
type heat struct {
	set   plan.Reading // °C
	from  string       // place of the setting in the document
	mixed bool         // a mixing valve lies, or may lie, on the way
}

// heatAt looks upstream from a node for the heaters that feed it. Without a
// drawn way the only heater there is must be the one.
func (s *site) heatAt(node string) (heat, *sdk.Gap) {
	found, mixed := s.upstream(node)
	if len(found) == 0 {
		for _, h := range s.plan.Heaters {
			if h.State != plan.Removed {
				found = append(found, h)
			}
		}
		for _, v := range s.valves {
			mixed = mixed || v.Kind == "mixing"
		}
		if len(found) > 1 {
			return heat{}, reply.NotTold("supply.lines", "which heater feeds "+node+" is not told")
		}
	}
	if len(found) == 0 {
		return heat{}, reply.NotRead("supply.heater.set", "no heater is written, and so what it is set to is not known")
	}
	out := heat{mixed: mixed}
	var from []string
	for i, h := range found {
		set, gap := reply.Read(h.Set, heaterPath(h)+".set", "what heater "+h.ID+" is set to")
		if gap != nil {
			return heat{}, gap
		}
		switch {
		case i == 0:
			out.set = set
		case set.Value > out.set.Value: // the hottest is the one that counts, the others may be what runs
			out.set = interval.Hull(set, out.set)
		default:
			out.set = interval.Hull(out.set, set)
		}
		from = append(from, heaterPath(h)+".set")
	}
	out.from = strings.Join(from, ", ")
	return out, nil
}

// upstream walks against the flow to the first heaters it meets.
func (s *site) upstream(node string) (found []plan.Heater, mixed bool) {
	seen, next := map[string]bool{node: true}, []string{node}
	for len(next) > 0 {
		at := next[0]
		next = next[1:]
		if h, heater := s.heaters[at]; heater {
			found = append(found, h)
			continue
		}
		mixed = mixed || s.valves[at].Kind == "mixing"
		for _, l := range s.into[at] {
			if !seen[l.A] {
				seen[l.A] = true
				next = append(next, l.A)
			}
		}
	}
	return found, mixed
}

// heaterPath is a heater's place in the words of the document.
func heaterPath(h plan.Heater) string {
	if h.ID == "heater" {
		return "supply.heater"
	}
	return "supply.heaters." + h.ID
}

func storeTemperature(_ *site, h plan.Heater) reply.Answer {
	return reply.AsRead(h.Set, "°C", heaterPath(h)+".set", "what heater "+h.ID+" is set to")
}

// plain are the taps and mixers that let the hot water through as it comes.
var plain = []string{"single_lever", "two_handles", "separate_taps", "none"}

// outletTemperature is the hottest water at a tap: read there, or else what
// the heater is set to, if nothing mixes it down to a setting nobody knows.
func outletTemperature(s *site, d plan.DrawOff) reply.Answer {
	at := d.ID + ".temperature"
	if d.Temperature != nil {
		return reply.AsRead(d.Temperature, "°C", at, "the warmest water at "+d.ID)
	}
	switch {
	case d.Water != "hot":
		return reply.Answer{Gap: reply.Outside("a cold tap has no hot water")}
	case d.Mixer == "thermostatic":
		return reply.Answer{Gap: reply.NotRead(at, "what the thermostat of "+d.ID+" lets through is not measured")}
	case !slices.Contains(plain, d.Mixer):
		return reply.Answer{Gap: reply.NotRead(at, "the warmest water at "+d.ID+", which may have a thermostat, is not measured")}
	}
	h, gap := s.heatAt(d.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if h.mixed {
		return reply.Answer{Gap: reply.NotRead(at, "what the mixing valve before "+d.ID+" lets through is not measured")}
	}
	return reply.Number(h.set, func() sdk.Working {
		return sdk.Working{Formula: "as hot as the heater is set, nothing lost on the way", Numbers: reply.Reading(h.set, "°C") + reply.How(h.set), Source: h.from}
	})
}
