package venting

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// branchOf is one fixture on a pipe of one piece straight to a vented stack.
func branchOf(kind string, bore, length, fall *plan.Reading) *plan.Plan {
	p := headed()
	p.Fixtures[1].Kind = kind
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: length, Fall: fall}}
	if bore != nil {
		p.Branches[sinkWaste1].Size = sized(bore)
	}
	return p
}

func taped(kind string, bore, length, fall float64) *plan.Plan {
	return branchOf(kind, replytest.Read(bore, 0), replytest.Read(length, 0), replytest.Read(fall, 0))
}

// dropped adds an upright piece.
func dropped(p *plan.Plan, height float64) *plan.Plan {
	h := plan.Exactly(height)
	p.Branches[sinkWaste1].Legs = append(p.Branches[sinkWaste1].Legs, plan.Leg{Drop: &h, Steep: true})
	return p
}

func TestSiphonage(t *testing.T) {
	sTrapped := taped("washbasin", 32, 1500, 20)
	sTrapped.Traps[1].Kinds = []string{"s"}
	untold := taped("washbasin", 32, 1500, 20)
	untold.Traps[1].Kinds = nil
	ownAir := taped("washbasin", 32, 3000, 60)
	ownAir.Traps[1].Kinds = []string{"anti_vacuum"}
	valved := vented(taped("washbasin", 32, 3000, 60), "sink.waste/1", nil, nil)
	valved.Vents[1].Kind = "valve"
	guessed := vented(taped("washbasin", 32, 3000, 60), "sink.waste/1", nil, nil)
	guessed.Vents[1].State, guessed.Vents[1].Known = plan.Existing, "guessed"
	for _, x := range []struct {
		about string
		plan  *plan.Plan
		want  []string
	}{
		{"a basin within its row", taped("washbasin", 32, 1700, 22), []string{"low"}},
		{"a short one may fall more", taped("washbasin", 32, 700, 87), []string{"low"}},
		{"too steep for its length", taped("washbasin", 32, 1101, 44), []string{"raised"}},
		{"too long and too steep", taped("washbasin", 32, 3000, 60), []string{"high"}},
		{"with an upright piece", dropped(taped("washbasin", 32, 900, 20), 200), []string{"raised"}},
		{"with an S-trap", sTrapped, []string{"raised"}},
		{"with a trap nobody told the kind of", untold, []string{"low", "raised"}},
		{"narrow", taped("washbasin", 24, 900, 20), []string{"raised"}},
		{"a wider basin waste", taped("washbasin", 40, 2900, 40), []string{"low"}},
		{"between two sizes", branchOf("washbasin", replytest.Read(34, 1), replytest.Read(2000, 0), replytest.Read(20, 0)), []string{"low", "raised"}},
		{"about its length", branchOf("washbasin", replytest.Read(32, 0), replytest.Read(1700, 20), replytest.Read(20, 0)), []string{"low", "raised"}},
		{"a bath within the length", taped("bath", 40, 3000, 90), []string{"low"}},
		{"a bath, steep and with a long upright piece", dropped(taped("bath", 40, 1000, 120), 1900), []string{"raised"}},
		{"a bath, narrow, long and steep", taped("bath", 30, 5000, 120), []string{"high"}},
		{"a machine, long and steep", taped("washing_machine", 40, 5000, 120), []string{"high"}},
		{"a bowl", taped("urinal", 40, 3100, 30), []string{"raised"}},
		{"a closet", taped("wc", 100, 20000, 300), []string{"low"}},
		{"a floor drain", taped("floor_drain", 50, 9000, 5), []string{"low"}},
		{"a valve behind it", valved, []string{"low"}},
		{"a guessed vent behind it", guessed, []string{"low", "raised", "high"}},
		{"an air valve of its own", ownAir, []string{"low"}},
	} {
		t.Run(x.about, func(t *testing.T) { bench.WantWords(t, x.plan, "siphonage", "sink.trap", x.want...) })
	}
}

func TestSiphonageStopsAtAWidePipe(t *testing.T) {
	p := headed()
	p.Branches[basinWaste].Size, p.Branches[basinWaste].Legs = sized(replytest.Read(32, 0)), []plan.Leg{{Length: replytest.Read(900, 0), Fall: replytest.Read(20, 0)}}
	p.Branches[sinkWaste2].Size, p.Branches[sinkWaste2].Legs = sized(replytest.Read(100, 0)), []plan.Leg{{Length: replytest.Read(4000, 0), Fall: replytest.Read(20, 0)}}
	bench.WantWords(t, p, "siphonage", "basin.trap", "low")
	p.Branches[sinkWaste2].Size = sized(replytest.Read(40, 0))
	bench.WantWords(t, p, "siphonage", "basin.trap", "raised")
}

// A round bottom with nothing read may be anything; of a flat one within a
// code's length the worst is ruled out, so that words are left.
func TestSiphonageAsksForWhatIsMissing(t *testing.T) {
	n := func(v float64) *plan.Reading { return replytest.Read(v, 0) }
	bench.WantGap(t, branchOf("washbasin", nil, n(900), n(20)), "siphonage", "sink.trap", sdk.NotMeasured, "sink.waste.size")
	bench.WantGap(t, branchOf("washbasin", n(32), nil, nil), "siphonage", "sink.trap", sdk.NotMeasured, "sink.waste.length")
	bench.WantWords(t, branchOf("washbasin", n(32), nil, n(20)), "siphonage", "sink.trap", "low", "raised")
	bench.WantWords(t, branchOf("washbasin", n(32), n(900), nil), "siphonage", "sink.trap", "low", "raised")
	bench.WantWords(t, branchOf("bath", n(40), n(2900), nil), "siphonage", "sink.trap", "low", "raised")
	bench.WantGap(t, branchOf("unknown", n(40), n(2900), n(20)), "siphonage", "sink.trap", sdk.NotTold, "sink.kind")
	bench.WantGap(t, branchOf("tap", n(40), n(2900), n(20)), "siphonage", "sink.trap", sdk.OutOfRange, "")
	none := branchOf("bath", n(40), n(2900), n(20))
	none.Traps[1].Kinds = []string{"none"}
	bench.WantGap(t, none, "siphonage", "sink.trap", sdk.OutOfRange, "")
	bench.WantGap(t, none, "induced", "sink.trap", sdk.OutOfRange, "")
	lost := branchOf("washbasin", n(32), n(2900), n(60))
	lost.Traps[1].Branch = ""
	bench.WantGap(t, lost, "siphonage", "sink.trap", sdk.NotTold, "sink.waste")
}

// Wider readings leave more words possible, never fewer, and the words that
// exact readings give are among those of the bands they are drawn from.
func TestSiphonageHoldsItsDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	for range 10000 {
		in := []plan.Reading{replytest.Taped(28+rng.Float64()*20, rng.Float64()*4), replytest.Taped(400+rng.Float64()*4000, rng.Float64()*300), replytest.Taped(10+rng.Float64()*90, rng.Float64()*10)}
		kind := []string{"washbasin", "bath", "dishwasher"}[rng.IntN(3)]
		whole := bench.Measured(t, branchOf(kind, &in[0], &in[1], &in[2]), "siphonage", "sink.trap").States
		var drawn []plan.Reading
		for _, r := range in {
			drawn = append(drawn, plan.Exactly(r.Low+rng.Float64()*(r.High-r.Low)))
		}
		got := bench.Measured(t, branchOf(kind, &drawn[0], &drawn[1], &drawn[2]), "siphonage", "sink.trap").States
		if len(got) != 1 || !slices.Contains(whole, got[0]) {
			t.Fatalf("%s %v drawn from %v: %v, not among %v", kind, drawn, in, got, whole)
		}
		if kind == "bath" && in[0].Low >= 34 && in[1].High <= 3000 && slices.Contains(whole, "high") {
			t.Fatalf("a bath of %v within a code's length: %v", in, whole)
		}
	}
}

// Cutting a piece off a branch leaves the vent where it sits; the way to it
// cannot grow.
func TestShorteningABranchNeverLengthensTheWayToItsVent(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 6))
	build := func(own, shared, at plan.Reading, onShared bool) *plan.Plan {
		p := headed()
		p.Branches[basinWaste].Legs, p.Branches[sinkWaste2].Legs = []plan.Leg{{Length: &own}}, []plan.Leg{{Length: &shared}}
		if onShared {
			p = vented(p, "sink.waste/2", &at, nil)
		}
		return p
	}
	for range 10000 {
		own, shared := replytest.Taped(200+rng.Float64()*2000, rng.Float64()*20), replytest.Taped(200+rng.Float64()*2000, rng.Float64()*20)
		at := shared.Times(rng.Float64())
		onShared := rng.IntN(2) == 0
		before := bench.Band(t, build(own, shared, at, onShared), "to_vent", "basin.trap")
		shorter, less := own.Times(rng.Float64()), shared
		if !onShared {
			less = shared.Times(rng.Float64())
		}
		after := bench.Band(t, build(shorter, less, at, onShared), "to_vent", "basin.trap")
		if after.Low > before.Low || after.Value > before.Value || after.High > before.High {
			t.Fatalf("%v and %v cut to %v and %v: %v became %v", own, shared, shorter, less, before, after)
		}
	}
}

// The working says whether the limit that was used had been read.
func TestSiphonageSaysItsBasis(t *testing.T) {
	for want, length := range map[string]float64{"(read)": 1500, "(memory)": 900} {
		source := bench.Measured(t, taped("washbasin", 32, length, 20), "siphonage", "sink.trap").Working.Source
		if !strings.HasSuffix(source, want) {
			t.Errorf("a basin's waste of %g mm: source %q, want it to end in %s", length, source, want)
		}
	}
}
