package backflow

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// tap is a spout this high over the rim on a pipe of this bore.
func tap(kind string, gap, bore float64, change func(*plan.DrawOff)) *plan.Plan {
	return room(kind, func(d *plan.DrawOff) {
		d.Gap, d.Size = read(gap), sized(read(bore))
		if change != nil {
			change(d)
		}
	})
}

func guarded(word, letters string) func(*plan.DrawOff) {
	return func(d *plan.DrawOff) { d.Device, d.Class = word, letters }
}

func hose(word string) func(*plan.DrawOff) {
	return func(d *plan.DrawOff) { d.Device, d.HoseReach = word, "into_water" }
}

func exactly(v float64) sdk.Band { return sdk.Band{Low: v, Value: v, High: v} }

func TestProtection(t *testing.T) {
	for _, x := range protections {
		if got := bench.Band(t, x.plan, "protection", "x.cold"); got != x.want {
			t.Errorf("%s: %v, want %v", x.about, got, x.want)
		}
	}
}

var protections = []struct {
	about string
	plan  *plan.Plan
	want  sdk.Band
}{
	{"too low over a basin", tap("washbasin", 19, 13.6, nil), exactly(1)},
	{"a domestic gap", tap("washbasin", 22, 13.6, nil), exactly(3)},
	{"a gap of two bores", tap("washbasin", 27.2, 13.6, nil), exactly(5)},
	{"a larger tap, too low", tap("bath", 19, 20.2, nil), exactly(1)},
	// 20 mm was read, 25 mm for this size is from memory
	{"a larger tap between a limit read and one from memory", tap("bath", 24, 20.2, nil), sdk.Band{Low: 1, Value: 1, High: 3}},
	{"a larger tap", tap("bath", 30, 20.2, nil), exactly(3)},
	// 2 x 26 = 52 mm, but 70 mm from memory for this size
	{"a still larger tap between two memories", tap("bath", 60, 26, nil), sdk.Band{Low: 1, Value: 1, High: 5}},
	{"a still larger tap", tap("bath", 70, 26, nil), exactly(5)},
	{"a very wide one, domestic gap only", tap("bath", 70, 40, nil), exactly(3)},
	{"a hose in the water", tap("bath", 200, 13.6, hose("none")), exactly(1)},
	{"a hose in the water behind a double check valve", tap("bath", 200, 13.6, hose("double_check")), exactly(3)},
	{"a small gap and a check valve", tap("washbasin", 5, 13.6, guarded("single_check", "")), exactly(2)},
	{"the gap is the better", tap("washbasin", 40, 13.6, guarded("single_check", "")), exactly(5)},
	{"letters before the word", tap("washbasin", 5, 13.6, guarded("double_check", "BA")), exactly(4)},
	{"letters written small", tap("washbasin", 5, 13.6, guarded("", " ed ")), exactly(3)},
	{"letters not known to anybody", tap("washbasin", 5, 13.6, guarded("double_check", "unknown")), exactly(3)},
	{"letters of a gap that was read", tap("washbasin", 5, 13.6, guarded("none", "AA")), exactly(1)},
	{"a diverter", tap("bath", 5, 13.6, guarded("diverter", "")), sdk.Band{Low: 2, Value: 2, High: 3}},
	{"a device nobody told, and a gap", tap("washbasin", 22, 13.6, guarded("unknown", "")), sdk.Band{Low: 3, Value: 3, High: 5}},
	{"a tank before a sprayer", room("wc", func(d *plan.DrawOff) { d.Hose, d.Class = read(1200), "AB" }), exactly(5)},
	{"letters of a gap, and a hose over it", room("washbasin", func(d *plan.DrawOff) { d.HoseReach, d.Class, d.Gap = "over_rim", "AA", nil }), exactly(1)},
	{"letters of a cistern that hide how it stands", room("wc", func(d *plan.DrawOff) { d.Gap, d.Size, d.Class = read(10), sized(read(13.6)), "AUK1" }), sdk.Band{Low: 1, Value: 1, High: 5}},
	{"a cistern's gap", room("wc", func(d *plan.DrawOff) { d.Gap, d.Size = read(30), sized(read(13.6)) }), exactly(3)},
	{"a cistern's gap on a wider supply", room("wc", func(d *plan.DrawOff) { d.Gap, d.Size = read(39), sized(read(20)) }), exactly(1)},
	{"a machine behind a check valve", room("washing_machine", func(d *plan.DrawOff) { d.Device = "double_check" }), exactly(3)},
}

func TestProtectionMargin(t *testing.T) {
	sprayer := room("wc", func(d *plan.DrawOff) { d.Hose, d.Device = read(1200), "double_check" })
	basin := room("washbasin", func(d *plan.DrawOff) { d.Gap, d.Size = read(22), sized(read(13.6)) })
	for want, p := range map[float64]*plan.Plan{-2: sprayer, 0: basin} {
		if got := bench.Band(t, p, "protection_margin", "x.cold"); got.Low != want || got.High != want {
			t.Errorf("margin %v, want %g", got, want)
		}
	}
}

func TestProtectionAsksForWhatIsMissing(t *testing.T) {
	bare := func(kind string, change func(*plan.DrawOff)) *plan.Plan {
		return room(kind, func(d *plan.DrawOff) { d.Device = "unknown"; change(d) })
	}
	low := bare("washbasin", func(d *plan.DrawOff) { d.Gap, d.Size = read(5), sized(read(13.6)) })
	bench.WantGap(t, low, "protection", "x.cold", sdk.NotTold, "x.cold.device")
	bench.WantGap(t, low, "protection_margin", "x.cold", sdk.NotTold, "x.cold.device")
	bench.WantGap(t, bare("washing_machine", func(*plan.DrawOff) {}), "protection", "x.cold", sdk.NotTold, "x.cold.device")
	bench.WantGap(t, bare("washbasin", func(*plan.DrawOff) {}), "protection", "x.cold", sdk.NotMeasured, "x.cold.gap")
	strange := room("washing_machine", func(d *plan.DrawOff) { d.Device, d.Class = "", "ZZ" })
	bench.WantGap(t, strange, "protection", "x.cold", sdk.OutOfRange, "")
	// without a bore: 70 mm is enough for any tap, 10 mm for none
	if got := bench.Band(t, room("bath", func(d *plan.DrawOff) { d.Gap = read(70) }), "protection", "x.cold"); got.Low != 3 || got.High != 5 {
		t.Errorf("70 mm over a bath on nobody knows what bore: %v, want 3 to 5", got)
	}
	if got := bench.Band(t, room("bath", func(d *plan.DrawOff) { d.Gap = read(10) }), "protection", "x.cold"); got.High != 1 {
		t.Errorf("10 mm on nobody knows what bore: %v, want 1", got)
	}
}

// A hose that may bridge a gap leaves it possible that nothing is protected.
func TestGapThatMayBeBridged(t *testing.T) {
	p := room("bath", func(d *plan.DrawOff) {
		d.Gap, d.Hose, d.Size = read(400), replytest.Read(380, 20), sized(read(13.6))
	})
	if got := bench.Band(t, p, "protection", "x.cold"); got != (sdk.Band{Low: 1, Value: 1, High: 5}) {
		t.Errorf("a gap that may be bridged: %v, want 1 to 5", got)
	}
}

// Cold and hot of a mixer have one spout and one hose; separate taps do not.
func TestMixerSharesSpoutAndHose(t *testing.T) {
	p := room("bath", func(d *plan.DrawOff) { d.Mixer, d.HoseReach, d.Gap = "thermostatic", "into_water", read(60) })
	hot := plan.DrawOff{ID: "x.hot", Fixture: "x", Serves: "bath", Water: "hot", Mixer: "thermostatic", Device: "none", HoseReach: "unknown"}
	p.DrawOffs = append(p.DrawOffs, hot)
	bench.WantWords(t, p, "could_dip", "x.hot", "basin_water")
	if got := bench.Band(t, p, "air_gap", "x.hot"); got.Value != 60 {
		t.Errorf("air gap of the mixer's hot side: %v, want 60", got)
	}
	p.DrawOffs[1].Mixer = "separate_taps"
	bench.WantGap(t, p, "could_dip", "x.hot", sdk.NotMeasured, "x.hot.gap")
}

// Little protection where more is needed asks for what is open; enough of it
// needs no more.
func TestWhatIsOpenIsAskedWhereItMatters(t *testing.T) {
	p := room("washbasin", func(d *plan.DrawOff) {
		d.Gap, d.Size, d.HoseReach, d.Device = read(60), sized(read(13.6)), "unknown", "single_check"
	})
	bench.WantGap(t, p, "protection", "x.cold", sdk.NotMeasured, "x.cold.hose")
	bench.WantGap(t, p, "protection_margin", "x.cold", sdk.NotMeasured, "x.cold.hose")
	p.DrawOffs[0].Device = "double_check"
	if got := bench.Band(t, p, "protection_margin", "x.cold"); got != (sdk.Band{Low: 0, Value: 0, High: 2}) {
		t.Errorf("margin: %v, want 0 to 2", got)
	}
}
