package supply

import (
	"slices"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// oneLine makes neighbouring links, from the first on, steps of one line, which
// tells its whole length, rise and bends; they tell none of their own.
func oneLine(p *plan.Plan, first, steps int, length, rise *plan.Reading) {
	line := plan.Line{ID: p.Links[first].ID, Length: length, Rise: rise, Bends: []plan.Bend{}}
	for i := range steps {
		l := &p.Links[first+i]
		l.ID, l.Line, l.Length, l.Rise, l.Bends = line.ID+"/"+string(rune('1'+i)), line.ID, nil, nil, nil
		line.Steps = append(line.Steps, l.ID)
	}
	p.Lines = append(p.Lines, line)
}

// c1 and c2 of the laid house carry the same, so 2 m before the valve and 2 m
// behind it are 4 m over it: the figure by hand is that of the two.
func TestPressureLeftOverALineWithAValve(t *testing.T) {
	p := laid()
	oneLine(p, toValve, 2, replytest.Read(4000, 20), nil)
	bench.Ask(t, p, "pressure_left").WantBand(t, "pressure_left", "basin.cold", sdk.Band{Low: 253.11797, Value: 258.71490, High: 266.18334}, 1e-4)
	bench.WantGap(t, p, "pressure_loss", "c1/1", sdk.NotMeasured, "supply.lines.c1.length") // a step's own is not known
	p.Lines[0].Length = nil
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "supply.lines.c1.length")
	p.Lines[0].Length, p.Lines[0].Bends = replytest.Read(4000, 20), nil
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotTold, "supply.lines.c1.bends")
}

// Of a line that passes a tee both steps together have the length, and the
// first carries more: wherever the tee is along it, the band holds it.
func TestALinePastATee(t *testing.T) {
	p := laid()
	oneLine(p, toTee, 2, replytest.Read(4000, 0), nil)
	band := bench.Band(t, p, "pressure_left", "basin.cold")
	for part := 0.0; part <= 4000; part += 500 {
		q := laid()
		q.Links[toTee].Length, q.Links[toBasin].Length = replytest.Read(part, 0), replytest.Read(4000-part, 0)
		b := bench.Band(t, q, "pressure_left", "basin.cold")
		if b.Low < band.Low || b.High > band.High {
			t.Errorf("tee after %g mm: %+v outside %+v", part, b, band)
		}
	}
	// The other way leaves the line at the tee, which is told to be told apart.
	p.Heaters[0].Kind = "electric_store"
	bench.WantGap(t, p, "pressure_left", "basin.hot", sdk.NotMeasured, "supply.lines.c2.length")
}

// A dead leg begins at the heater: of a line that leads over it only a part is
// the leg, and which part nobody told.
func TestDeadLegOfALine(t *testing.T) {
	p := laid()
	oneLine(p, toHeater, 2, replytest.Read(4000, 20), nil)
	bench.WantGap(t, p, "dead_leg", "basin.hot", sdk.NotMeasured, "supply.lines.c4.length")
}

// valved is the ferry house with a valve on its hot run, which is one line.
func valved(bore, length *plan.Reading) *plan.Plan {
	p := ferry()
	p.Valves = append(p.Valves, plan.Valve{ID: "v_hot", Kind: "service"})
	behind := p.Links[hotRun]
	p.Links[hotRun].B, behind.A = "v_hot", "v_hot"
	p.Links = append(p.Links, behind)
	oneLine(p, hotRun, 2, length, nil)
	bored(&p.Links[hotRun], bore)
	bored(&p.Links[hotRun+1], bore)
	return p
}

// The rises of a line and of a link add up, and a line that is passed against
// its path falls by what it rises.
func TestHeightByTheRiseOfALine(t *testing.T) {
	for _, against := range []bool{false, true} {
		p := laid()
		p.DrawOffs[coldTap].Level, p.Sources[0].Level = nil, nil
		p.Links[toBasin].Rise = replytest.Read(600, 0)
		rise := 2400.0
		if against {
			a, b := &p.Links[toValve], &p.Links[toTee]
			a.A, a.B, b.A, b.B = "t1", "v_main", "v_main", "meter"
			rise = -2400
		}
		oneLine(p, toValve, 2, replytest.Read(4000, 20), replytest.Read(rise, 0))
		bench.Ask(t, p, "static_head").WantBand(t, "static_head", "basin.cold", exact(29.4112), 1e-3)
		p.Lines[0].Rise = nil
		bench.WantGap(t, p, "static_head", "basin.cold", sdk.NotMeasured, "basin.cold.level")
	}
}

// Only a way that passes all steps of a line has its figures.
func TestStretches(t *testing.T) {
	p := laid()
	oneLine(p, toValve, 3, replytest.Read(6000, 0), nil)
	s, err := survey(p)
	if err != nil {
		t.Fatal(err)
	}
	names := func(all []stretch) (out []string) {
		for _, x := range all {
			out = append(out, x.name())
		}
		return out
	}
	if got := names(s.stretches(s.links[:3])); !slices.Equal(got, []string{"c1"}) {
		t.Errorf("all three steps: %q", got)
	}
	if got := names(s.stretches(s.links[1:4])); !slices.Equal(got, []string{"c1/2", "c1/3", "c4"}) {
		t.Errorf("two of three steps: %q", got)
	}
}
