package backflow

import (
	"math"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// doubt is a thing that may be so, or surely is.
type doubt struct{ surely, perhaps bool }

func (d doubt) or(o doubt) doubt { return doubt{d.surely || o.surely, d.perhaps || o.perhaps} }

var certain = doubt{surely: true, perhaps: true}

// reach is what a draw-off can get below the rim of: its own fixture, by spout
// or hose, and the pan or bowl of a water closet or bidet beside it, by hose.
// The gap is the first reading without which that stays open.
type reach struct {
	own, pan doubt
	why      []string
	gap      *sdk.Gap
}

func (r *reach) miss(g *sdk.Gap) {
	if r.gap == nil {
		r.gap = g
	}
}

// reachOf a draw-off over the fixture of a row of the table.
func (s *site) reachOf(d plan.DrawOff, row fluid) reach {
	var r reach
	height, missing := s.gapOf(d)
	if row.Dips != "none" && !s.cistern(d) {
		switch {
		case s.gapByLetters(d): // it is over the rim, or it were none of its family
		case missing != nil:
			r.own.perhaps = true
			r.miss(missing)
		case height.Low <= 0:
			r.own = doubt{height.High <= 0, true}
			r.why = append(r.why, "spout "+reply.Reading(height, "mm")+" over the rim")
		}
	}
	hose, there, gap := s.hose(d)
	if !there.perhaps {
		return r
	}
	if gap != nil {
		r.miss(gap)
		r.why = append(r.why, "a hose that nobody has told of")
	} else {
		r.why = append(r.why, "hose of "+reply.Reading(hose, "mm"))
	}
	if row.Dips != "none" {
		r.own = r.own.or(s.hoseDips(d, hose, there, height, missing))
	}
	if row.Dips != "pan_water" && (gap == nil || handShower(s.kind(d))) {
		r.pan = s.neighbours(d, hose, there, &r)
	}
	return r
}

// endless is the length of a hose that nobody measured.
func endless() plan.Reading { return plan.Reading{High: math.Inf(1), How: plan.Computed} }

// hose is its length in mm and whether there is one; the gap asks for it where
// that stays open.
func (s *site) hose(d plan.DrawOff) (length plan.Reading, there doubt, gap *sdk.Gap) {
	switch {
	case d.Hose != nil:
		return interval.AtLeast(*d.Hose, 0), doubt{d.Hose.Low > 0, d.Hose.High > 0}, nil
	case d.HoseReach == "none":
		return plan.Reading{}, doubt{}, nil
	case d.HoseReach == "over_rim" || d.HoseReach == "into_water":
		return endless(), certain, nil
	}
	return endless(), doubt{perhaps: true}, reply.NotRead(d.ID+".hose", "whether draw-off "+d.ID+" has a hose, and how long, is not told")
}

// near is how close to the rim a hose's end already counts as reaching it, mm:
// guidance on Schedule 2, paragraph 15, of the UK Water Supply (Water Fittings)
// Regulations 1999 (read).
const near = 25

// hoseDips tells whether the end of a hose gets below the rim of its own
// fixture: as told; else by a length over the height it hangs at. Beside a water
// closet or at a bidet a sprayer is there to get into the bowl.
func (s *site) hoseDips(d plan.DrawOff, hose plan.Reading, there doubt, height plan.Reading, missing *sdk.Gap) doubt {
	kind := s.kind(d)
	switch {
	case d.HoseReach == "over_rim", d.HoseReach == "into_water", kind == "wc", kind == "bidet":
		return there
	case missing != nil:
		return doubt{perhaps: true}
	}
	return doubt{there.surely && hose.Low > height.High-near, hose.High > height.Low-near}
}

// handShower tells whether a hose that nobody told of may be a long one. At a
// basin or sink it pulls out of the tap and gets no farther than its own water
// (common practice, no source).
func handShower(kind string) bool { return kind == "bath" || kind == "shower" }

// bowl is how far the water of a pan or bowl may lie nearer than the place where
// its waste begins, mm. Common practice, no source.
const bowl = 300

// neighbours tells whether a hose gets into the pan or bowl of another fixture
// of the room. A room that nobody told is taken as the same one.
func (s *site) neighbours(d plan.DrawOff, hose plan.Reading, there doubt, r *reach) doubt {
	var all doubt
	own := s.fixtures[d.Fixture]
	room := d.Room
	if room == "" {
		room = own.Room
	}
	for _, f := range s.plan.Fixtures {
		pan := f.Kind == "wc" || f.Kind == "bidet"
		if !pan || f.ID == d.Fixture || f.State == plan.Removed || room != "" && f.Room != "" && room != f.Room {
			continue
		}
		if len(own.At) < 2 || len(f.At) < 2 {
			all.perhaps = true
			id := f.ID
			if len(own.At) < 2 {
				id = d.Fixture
			}
			r.miss(reply.NotRead(id+".at", "how far fixture "+f.ID+" is from the hose of "+d.ID+" is not told"))
			continue
		}
		away := interval.Hypotenuse(interval.Magnitude(own.At[0].Minus(f.At[0])), own.At[1].Minus(f.At[1]))
		all.perhaps = all.perhaps || away.Low-bowl <= hose.High
		if d.Level != nil && f.Rim != nil {
			line := interval.Hypotenuse(away, d.Level.Minus(*f.Rim))
			all.surely = all.surely || there.surely && line.High < hose.Low
		}
	}
	return all
}

// dips are the words of could_dip, least foul first.
var dips = []string{"nothing", "basin_water", "pan_water"}

func couldDip(s *site, d plan.DrawOff) reply.Answer {
	row, gap := s.fluid(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if row.Dips == "none" {
		return reply.Answer{Gap: reply.Outside("draw-off " + d.ID + " is piped into its machine and has no spout")}
	}
	r := s.reachOf(d, row)
	possible := map[string]bool{row.Dips: r.own.surely || r.own.perhaps, "nothing": !r.own.surely}
	if r.pan.perhaps {
		possible["pan_water"] = true
	}
	if r.pan.surely {
		possible = map[string]bool{"pan_water": true}
	}
	words := slices.DeleteFunc(slices.Clone(dips), func(w string) bool { return !possible[w] })
	if r.gap != nil && len(words) > 1 && words[0] == "nothing" {
		return reply.Answer{Gap: r.gap}
	}
	why := "spout over the rim, no hose"
	if len(r.why) > 0 {
		why = strings.Join(r.why, "; ")
	}
	return reply.State(why, name, words...)
}

// fluidCategory is that of the foulest water under a draw-off or within its
// hose's reach, whatever keeps them apart.
func fluidCategory(s *site, d plan.DrawOff) reply.Answer {
	row, gap := s.fluid(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	r := s.reachOf(d, row)
	c := plan.Reading{Low: row.Over, High: row.Over, How: plan.Computed}
	source := row.Clause + " (" + row.Basis + ")"
	if r.own.surely {
		c.Low = row.In
	}
	if r.own.surely || r.own.perhaps {
		c.High = row.In
	}
	if pan := s.fluids.Pan; r.pan.perhaps || r.pan.surely {
		c.High = max(c.High, pan.Category)
		source += "; " + pan.Clause + " (" + pan.Basis + ")"
		if r.pan.surely {
			c.Low = max(c.Low, pan.Category)
		}
	}
	if r.gap != nil && c.Low < c.High {
		return reply.Answer{Gap: r.gap}
	}
	c.Value = c.High // the foulest
	return reply.Number(c, reply.By("category of the foulest water under it or in its hose's reach", strings.ReplaceAll(s.kind(d), "_", " ")+": "+reply.Reading(c, "1"), source))
}
