package engine

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fallrule/engine/finding"
	"fallrule/engine/profile"
	"fallrule/profiles"
)

// notched is a joist of 180 mm over 3.60 m with one notch.
func notched(common, depth, distance string) string {
	return fmt.Sprintf(`layout: 1
house: { country: gb, use: dwelling, dwellings: 1, storeys: 2 }
joists:
  common: { member: joist, width: 75 mm, depth: exact 180 mm, span: exact 3.60 m, %s }
  at: { j1: 0.30 m }
  openings:
    cut: { joist: j1, shape: notch_top, depth: exact %s, length: 60 mm, from: end, distance: exact %s }
walls: { end: { thickness: 300 mm } }
`, common, depth, distance)
}

// 7. No joist meets or breaks by a strength of timber that nobody read. What
// is said is the rule of thumb, as practice, and it does not hang on a grade.
func TestAJoistIsNotProvedByAPresumedGrade(t *testing.T) {
	say := func(common, depth string) (out []string) {
		s := check(t, notched(common, depth, "0.54 m"), "uk", "")
		for _, f := range s.Findings {
			if f.Rule.Topic != "joist" {
				continue
			}
			if f.Subject == "j1" || f.Rule.Force != finding.Practice || f.Accuses() {
				t.Errorf("%s on %s is more than the rule of thumb: %s, %s", f.Rule.ID, f.Subject, f.Verdict, f.Rule.Force)
			}
			out = append(out, f.Rule.ID+" "+string(f.Verdict))
		}
		slices.Sort(out)
		return out
	}
	sound, graded := say("grade: unknown, looks: sound", "20 mm"), say("grade: C30, looks: sound", "20 mm")
	if len(sound) == 0 || !slices.Equal(sound, graded) {
		t.Errorf("without a grade %v, with one %v", sound, graded)
	}
	if !slices.Contains(sound, "joist_notch meets") {
		t.Errorf("20 of 180 mm at 0.15 of the span is within the rule of thumb: %v", sound)
	}
	if deep := say("grade: C30, looks: sound", "60 mm"); !slices.Contains(deep, "joist_notch breaks") {
		t.Errorf("60 of 180 mm: %v", deep)
	}
}

// 7, the rotten end: the rule of thumb is for sound timber only.
func TestARottenJoistDoesNotPass(t *testing.T) {
	wants(t, check(t, notched("looks: sound", "20 mm", "0.54 m"), "uk", ""), "uk/joist_notch", "cut", finding.Meets)
	s := check(t, notched("looks: rot", "20 mm", "0.54 m"), "uk", "")
	for _, f := range about(s, "cut", func(f finding.Finding) bool { return f.Rule.ID == "joist_notch" && f.Verdict == finding.Meets }) {
		t.Errorf("a notch in a rotten joist meets (%s), and it is for an engineer", f.Message)
	}
	if len(found(s, "uk/joist_notch", "cut")) != 1 {
		t.Error("nothing is said of the notch in a rotten joist")
	}
}

// 11. Of two clauses of which one suffices, the other is no break of its own.
func TestOneOfTwoAlternativesSuffices(t *testing.T) {
	for _, c := range []struct {
		depth, distance string
		verdict         finding.Verdict
		why             string
	}{
		{"26 mm", "0.54 m", finding.Meets, "0.144 at 0.15: beyond 0.125, within 0.15 between 0.1 and 0.2"},
		{"20 mm", "0.80 m", finding.Meets, "0.111 at 0.222: beyond 0.2, within 0.125 between 0.07 and 0.25"},
		{"26 mm", "0.80 m", finding.Breaks, "0.144 at 0.222: neither"},
		{"30 mm", "0.54 m", finding.Breaks, "0.167 at 0.15: neither"},
	} {
		i := inspect(t, notched("looks: sound", c.depth, c.distance), "uk", "")
		f := wants(t, i.Sheet, "uk/joist_notch", "cut", c.verdict)
		if len(f.Limit) != 2 {
			t.Errorf("%s: %d alternatives, want two in one finding", c.why, len(f.Limit))
		}
	}
}

// A by-law of an invented town: no waste turns more than 270° after the first
// corner, and none more than 360° in all.
const bylaw = `# By-law of Turnham (2021), clause 3, invented
header:
  title: A waste does not turn too often
  says: Without the connection bend at its trap a waste turns at most 270°.
  topic: branch
  document: bylaw
  clause: "3"
  force: local_law
  severity: defect
  of: branches
  quantities: [turn_after_first]
  when: before_closing
table:
  limits:
    - {need: {turn_after_first: {at_most: 270°}}, basis: read}
examples:
  - {facts: {}, read: {turn_after_first: 270°}, verdict: meets}
  - {facts: {}, read: {turn_after_first: 271°}, verdict: breaks}
  - {facts: {}, read: {}, verdict: cannot_tell, needs: [turn_after_first]}
`

const bylawHead = `# Turnham, an invented town
header:
  title: Turnham
  region: Turnham
  language: en
  edition: "2021"
  documents:
    bylaw: {title: By-law of Turnham, edition: "2021", publisher: the town, force: local_law}
`

// 12. The connection bend at a trap or water closet is not counted where the
// clause leaves it out. No rule of es or uk counts turns, so a town of our own
// does.
func TestTheConnectionBendIsNotCounted(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "turnham")
	for name, text := range map[string]string{"profile.yaml": bylawHead, "rules/turns/rule.yaml": bylaw} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folders, id, err := profile.NewFolders(profiles.FS).Mount(dir)
	if err != nil {
		t.Fatal(err)
	}
	w, err := newWorkshop(folders, id)
	if err != nil {
		t.Fatal(err)
	}
	const leg = "{ along: 0.40 m, drop: 12 mm, bend: %s }, "
	course := func(corners ...string) string {
		runs := ""
		for _, c := range corners {
			runs += fmt.Sprintf(leg, c)
		}
		return "size: 50 mm, runs: [" + runs + "{ along: 0.40 m, drop: 12 mm }]"
	}
	for kind, trap := range map[string]string{"bath": "p", "wc": "built_in"} {
		for _, c := range []struct {
			corners     []string
			turn, after float64
			verdict     finding.Verdict
		}{
			{[]string{"90°", "90°", "2 x 45°", "90°"}, 360, 270, finding.Meets},
			{[]string{"2 x 45°", "90°", "90°", "90°"}, 360, 270, finding.Meets},
			{[]string{"90°", "90°", "90°", "90°", "45°"}, 405, 315, finding.Breaks},
		} {
			i := w.inspect(t, one("gb", kind, "trap: { kind: "+trap+", seal: 50 mm },", course(c.corners...)), id, "")
			if all, after := i.band(t, "turn", "it.waste"), i.band(t, "turn_after_first", "it.waste"); all.Value != c.turn || after.Value != c.after {
				t.Errorf("%s %v: turns %v, after the first %v", kind, c.corners, all.Value, after.Value)
			}
			wants(t, i.Sheet, id+"/turns", "it.waste", c.verdict)
		}
	}
}
