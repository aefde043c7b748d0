package layout

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"fallrule/plugins/sdk/plan"
)

func TestWhatLinksCarry(t *testing.T) {
	all := links(read(t, waterHouse))
	for id, want := range map[string]string{
		"c1/1": "cold", "c1/2": "cold", "c2": "cold", "m_cold~wc.cold": "cold",
		"c4": "cold", // guessed itself; whatever leaves k1 is cold
		"c5": "cold", "h1/1": "hot", "h1/2": "hot", "h3": "hot", "h4": "hot",
		"h5": "hot", "m_hot~bath.hot": "hot", // h3 or h4, both from the heater
	} {
		if got := all[id].Carries; got != want {
			t.Errorf("%s carries %s, want %s", id, got, want)
		}
	}
	// A guess that is the only way, and one that would mix.
	guess := links(read(t, strings.Replace(waterHouse, "alternatives: [[h3, h4]]", "", 1)))
	if guess["h5"].Carries != "unknown" || guess["h1/2"].Carries != "hot" {
		t.Errorf("fed over guessed lines only: %s", guess["h5"].Carries)
	}
	mixed := links(read(t, strings.NewReplacer("h3: { path: [k3, p_hot]", "h3: { path: [k1, p_hot]", "[heater, k3, sink.hot]", "[heater, sink.hot]").Replace(waterHouse)))
	if mixed["h5"].Carries != "unknown" {
		t.Errorf("one of the two lines is cold: %s", mixed["h5"].Carries)
	}
	proved := links(read(t, strings.Replace(waterHouse, "h4: { path: [heater, p_hot], state: existing, known: guessed", "h4: { path: [heater, p_hot], state: existing, known: proved", 1)))
	if proved["h5"].Carries != "hot" {
		t.Errorf("h4 is proved: %s", proved["h5"].Carries)
	}
}

func TestWhomLinksServe(t *testing.T) {
	lay := read(t, waterHouse)
	all := links(lay)
	for id, want := range map[string]string{
		"c1/1":              "bath.cold bath.hot basin.cold basin.hot wc.cold sink.hot tub.cold",
		"c2":                "bath.hot basin.hot sink.hot",
		"c3":                "bath.cold basin.cold wc.cold",
		"c4":                "tub.cold",
		"c5":                "",         // removed, and so is its tap
		"h1/1":              "sink.hot", // p_hot may be fed past it
		"h3":                "",
		"h4":                "",
		"h5":                "bath.hot basin.hot",
		"m_hot~basin.hot":   "basin.hot",
		"m_cold~basin.cold": "basin.cold",
	} {
		same(t, id+" serves", all[id].Serves, strings.Fields(want)...)
	}
	facts := map[string]string{}
	for _, l := range lay.Input().Links {
		facts[l.ID] = l.Serves
	}
	for id, want := range map[string]string{
		"c1/1": "several", "c2": "several", "c3": "several", "c4": "one", "c5": "none", "h1/1": "unknown", "h1/2": "one", "h3": "several", "m_cold~wc.cold": "one",
	} {
		if facts[id] != want {
			t.Errorf("%s serves %s, want %s", id, facts[id], want)
		}
	}
}

// In a ring no link is the only way; a part whose feed nobody knows is looked
// at by itself.
func TestRingsAndPartsWithoutSource(t *testing.T) {
	all := links(read(t, `
layout: 1
fixtures: { a: { kind: tap }, b: { kind: tap } }
supply:
  meter: {}
  points: { far: behind a wall, p: one end, q: the other }
  lines:
    l1: { path: [meter, p] }
    l2: { path: [p, a.cold] }
    l3: { path: [p, q] }
    l4: { path: [q, a.cold] }
    l5: { path: [far, b.hot] }
`))
	same(t, "l1 serves", all["l1"].Serves, "a.cold")
	same(t, "l2 serves", all["l2"].Serves)
	same(t, "l4 serves", all["l4"].Serves)
	same(t, "l5 serves", all["l5"].Serves, "b.hot")
	if all["l5"].Carries != "unknown" || all["l4"].Carries != "cold" {
		t.Errorf("l5 %s, l4 %s", all["l5"].Carries, all["l4"].Carries)
	}
}

// A link serves a draw-off when water reaches the draw-off, and does not once
// the link is gone: held against removing each link of random supplies.
func TestServesAgainstRemovingEachLink(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for range 300 {
		nodes, edges := 2+rng.IntN(9), 1+rng.IntN(16)
		var links []plan.Link
		for i := range edges {
			l := plan.Link{ID: strconv.Itoa(i), A: "n" + strconv.Itoa(rng.IntN(nodes)), B: "n" + strconv.Itoa(rng.IntN(nodes)), Known: "seen"}
			if rng.IntN(8) == 0 {
				l.State = plan.Removed
			}
			links = append(links, l)
		}
		g := newNetwork(links)
		source := g.node("n0")
		tree := g.dominators([]int{source})
		starts := []int{source}
		for n := range g.out {
			if len(g.in[n]) == 0 {
				starts = append(starts, n)
			}
		}
		reach := func(without int) []bool {
			reached := make([]bool, len(g.out))
			g.spread(reached, starts, func(i int) bool { return i != without })
			return reached
		}
		all := reach(-1)
		for i := range links {
			without := reach(i)
			for n := range g.out {
				over := false
				for at := tree.node(n); at != 0; at = tree.idom[at] {
					if e, isEdge := tree.edge(at); isEdge && e == i {
						over = true
					}
				}
				if want := all[n] && !without[n]; over != want {
					t.Fatalf("link %d over node %d: %v, want %v in %+v", i, n, over, want, links)
				}
			}
		}
	}
}

// A ring of thousands of links, which a search over all ways would never end.
func TestALongSupply(t *testing.T) {
	var b strings.Builder
	b.WriteString("layout: 1\nfixtures:\n")
	const taps = 1500
	for i := range taps {
		fmt.Fprintf(&b, "  f%d: { kind: tap }\n", i)
	}
	b.WriteString("supply:\n  meter: {}\n  lines:\n    l0: { path: [meter, k0] }\n")
	for i := range taps {
		fmt.Fprintf(&b, "    t%d: { path: [k%d, f%d.cold] }\n    l%d: { path: [k%d, k%d] }\n", i, i, i, i+1, i, (i+1)%taps)
	}
	all := links(read(t, b.String()))
	if got := len(all["l0"].Serves); got != taps {
		t.Errorf("the first link serves %d, want %d", got, taps)
	}
}
