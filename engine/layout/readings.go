package layout

import (
	"errors"
	"math"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// sort of a reading: what its tolerance depends on when it has none.
type sort int

const (
	taped    sort = iota // a distance in the house
	placed               // a coordinate, which may be negative
	levelled             // a level, or a drop set directly
	gauged               // a diameter, a saw's or a drill's size
	printed              // what the part's maker says; read again on site when it exists
	asTold               // counts, angles, tests, catalogue data: no band unless told
)

// The bands that a reading gets when neither it nor `readings` tells one, in
// mm: a tape in an old house, one laser line for all levels, what a fitter can
// build to, a caliper, a drawing. From common practice, no source.
const (
	existingWithin = 10.0
	levelsWithin   = 3.0
	plannedWithin  = 5.0
	gaugedWithin   = 1.0
	drawingWithin  = 50.0
)

// Bands of a bucket's marks (l), a watch started by hand (s), a kitchen
// thermometer (°C), a dial gauge (kPa), and the share of a flow that somebody
// measured and said no more of. From common practice, no source.
const (
	bucketWithin      = 0.5
	watchWithin       = 1.0
	thermometerWithin = 2.0
	gaugeWithin       = 20.0
	flowWithin        = 0.1
)

// Falls without a tolerance, in mm/m. A planned fall is set by levels over the
// run, so it gets their band over the run's length, or plannedFall when that
// is not known. A spirit level on an existing pipe, and a phone (0.25°, of
// which 0.1° is 1.7 mm/m), are from common practice, no source.
const (
	plannedFall = 1.0
	levelFall   = 2.0
	phoneFall   = 4.4
)

// tolerance from the `readings` block. share is of the figure.
type tolerance struct {
	by, share float64
	exact     bool
}

// tolerances reads the `readings` block.
func (r *reader) tolerances() {
	r.market = text(r.doc.Get("market"))
	for _, p := range pairs(r.doc.Get("readings")) {
		if t, ok := r.tolerance(p.Key, p.Value); ok {
			r.within[p.Key] = t
		}
	}
}

// dimensionsOf lists what a key of `readings` may be written in.
func dimensionsOf(key string) []quantity.Dimension {
	switch key {
	case "level":
		return []quantity.Dimension{quantity.Fall}
	case "phone":
		return []quantity.Dimension{quantity.Angle, quantity.Fall}
	case "bucket":
		return []quantity.Dimension{quantity.Volume}
	case "times":
		return []quantity.Dimension{quantity.Time}
	case "temperatures":
		return []quantity.Dimension{quantity.Temperature}
	case "pressures":
		return []quantity.Dimension{quantity.Pressure}
	}
	return []quantity.Dimension{quantity.Length}
}

func (r *reader) tolerance(key string, n *document.Node) (tolerance, bool) {
	written := text(n)
	switch written {
	case "", unknown, none:
		return tolerance{}, false
	case "exact":
		return tolerance{exact: true}, true
	}
	figure := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(written, "±"), "+-"), "+/-"))
	if share, found := strings.CutSuffix(figure, "%"); found {
		if q, err := quantity.Parse(strings.TrimSpace(share), quantity.Ratio); err == nil {
			return tolerance{share: math.Abs(q.Reading.Value) / 100}, true
		}
	}
	var failed error
	for _, d := range dimensionsOf(key) {
		q, err := quantity.Parse(figure, d)
		switch {
		case err != nil:
			failed = err
		case d == quantity.Angle:
			return tolerance{by: math.Tan(q.Reading.Value*math.Pi/180) * 1000}, true
		default:
			return tolerance{by: math.Abs(q.Reading.Value)}, true
		}
	}
	r.parseFault(n, failed)
	return tolerance{}, false
}

// read reads a quantity and gives it a band. nil: nothing was said, or unknown,
// or none, or it could not be read and a fault says so.
func (r *reader) read(n *document.Node, d quantity.Dimension, s sort, state plan.State) *plan.Reading {
	return r.readOver(n, d, s, state, nil)
}

// readOver also knows the run that a fall is told for.
func (r *reader) readOver(n *document.Node, d quantity.Dimension, s sort, state plan.State, run *plan.Reading) *plan.Reading {
	written := text(n)
	if written == "" || written == "top" || bare(n, d) {
		return nil
	}
	q, err := quantity.Parse(written, d)
	if err != nil {
		r.parseFault(n, err)
		return nil
	}
	if q.Word != "" {
		return nil
	}
	reading := q.Reading
	if d == quantity.Fall && q.FromAngle {
		r.warn(n.At, "a fall read in degrees: a phone's angle is good to 0.2 to 0.3°, which is 4 to 5 mm/m, too coarse to settle a fall; measure the drop over the length")
	}
	r.count(n, &reading, q.HasTolerance, state)
	if !q.HasTolerance {
		r.widen(&reading, d, s, state, run, q.FromAngle)
	}
	return &reading
}

// bare tells whether a number stands where a quantity belongs: the schema has
// said so already.
func bare(n *document.Node, d quantity.Dimension) bool {
	return (n.Tag == document.Number || n.Tag == document.Bool) && d != quantity.Count && d != quantity.Year
}

// count keeps the statistics and says how a figure was come by when it does
// not say so itself: what is to be built is planned, what stands was taped.
func (r *reader) count(n *document.Node, reading *plan.Reading, own bool, state plan.State) {
	if reading.How == "" {
		reading.How = plan.Taped
		if state == plan.New {
			reading.How = plan.Planned
		}
	}
	if r.counted[n] {
		return
	}
	r.counted[n] = true
	stats := &r.lay.Readings
	stats.ByHow[string(reading.How)]++
	switch {
	case reading.How == plan.Exact:
		stats.Exact++
	case !own:
		stats.NoTolerance++
	}
}

// widen puts the default band around a figure.
func (r *reader) widen(reading *plan.Reading, d quantity.Dimension, s sort, state plan.State, run *plan.Reading, degrees bool) {
	var t tolerance
	switch d {
	case quantity.Length:
		t = r.lengthWithin(reading.How, s, state)
	case quantity.Fall:
		t = r.fallWithin(state, run, degrees)
	case quantity.Volume:
		t = r.told("bucket", bucketWithin)
	case quantity.Time:
		t = r.told("times", watchWithin)
	case quantity.Temperature:
		t = r.told("temperatures", thermometerWithin)
	case quantity.Pressure:
		t = r.told("pressures", gaugeWithin)
	case quantity.Flow:
		t = tolerance{share: flowWithin}
	}
	if t.exact || d != quantity.Length && d != quantity.Fall && s == asTold {
		return
	}
	by := t.by + t.share*math.Abs(reading.Value)
	reading.Low, reading.High = reading.Value-by, reading.Value+by
	if d == quantity.Length && s != levelled && s != placed && reading.Value >= 0 {
		reading.Low = math.Max(0, reading.Low)
	}
}

func (r *reader) lengthWithin(how plan.How, s sort, state plan.State) tolerance {
	switch {
	case s == asTold, s == printed && state == plan.New:
		return tolerance{exact: true}
	case s == gauged:
		return tolerance{by: gaugedWithin}
	case how == plan.Drawn:
		return r.told("drawing", drawingWithin)
	case s == levelled:
		return r.told("levels", levelsWithin)
	case how == plan.Taped && r.has("tape"):
		return r.within["tape"]
	case how == plan.Planned, state == plan.New:
		return r.told("planned", plannedWithin)
	case state == plan.Laid:
		return r.told("laid", plannedWithin)
	}
	return r.told("existing", existingWithin)
}

func (r *reader) fallWithin(state plan.State, run *plan.Reading, degrees bool) tolerance {
	switch {
	case degrees:
		return r.told("phone", phoneFall)
	case state != plan.New && r.has("level"):
		return r.within["level"]
	case state == plan.Existing:
		return tolerance{by: levelFall}
	case run == nil || run.Value <= 0:
		return tolerance{by: plannedFall}
	}
	levels := r.told("levels", levelsWithin)
	return tolerance{by: levels.by / run.Value * 1000, exact: levels.exact}
}

func (r *reader) has(key string) bool { _, found := r.within[key]; return found }

func (r *reader) told(key string, otherwise float64) tolerance {
	if t, found := r.within[key]; found {
		return t
	}
	return tolerance{by: otherwise}
}

func (r *reader) parseFault(n *document.Node, err error) {
	var e *quantity.Error
	if errors.As(err, &e) {
		r.add(document.Fault{At: n.At, What: e.What, Allowed: e.Allowed, DidYouMean: e.DidYouMean})
		return
	}
	if err != nil {
		r.fault(n.At, "%v", err)
	}
}

// length, level and size are the usual readings.
func (r *reader) length(n *document.Node, state plan.State) *plan.Reading {
	return r.read(n, quantity.Length, taped, state)
}

func (r *reader) level(n *document.Node, state plan.State) *plan.Reading {
	return r.read(n, quantity.Length, levelled, state)
}

func (r *reader) gauge(n *document.Node, state plan.State) *plan.Reading {
	return r.read(n, quantity.Length, gauged, state)
}

func (r *reader) print(n *document.Node, d quantity.Dimension, state plan.State) *plan.Reading {
	s := printed
	if d != quantity.Length {
		s = asTold
	}
	return r.read(n, d, s, state)
}
