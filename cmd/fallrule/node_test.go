package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"fallrule/engine/finding"
)

const leadwork = "../../plugins/leadwork"

// village is a profile of one rule that bounds what leadwork measures, and a
// house; both invented. %[1]s is what the sink's waste is made of.
const village = `
-- village/profile.yaml --
# By-law 3/2027 of a village, all clauses
header:
  title: By-law of a village
  region: a village
  countries: [es]
  language: en
  edition: 3 of 2027
  documents:
    bylaw: {title: By-law 3/2027 on old pipes, edition: "2027", publisher: the village, force: local_law}
-- village/rules/no_lead/rule.yaml --
# By-law 3/2027, clause 1
header:
  title: Lead pipe is taken out
  says: No pipe of lead stays in a house that is worked on.
  topic: house
  document: bylaw
  clause: "1"
  force: local_law
  severity: hazard
  of: buildings
  quantities: [lead_left]
  when: before_closing
table:
  limits:
    - {need: {lead_left: {at_most: 0 mm}}, basis: read}
examples:
  - {facts: {}, read: {lead_left: 0 mm}, verdict: meets}
  - {facts: {}, read: {lead_left: 1 mm}, verdict: breaks}
  - {facts: {}, read: {lead_left: 2 mm ± 2 mm}, verdict: too_close}
  - {facts: {}, read: {}, verdict: cannot_tell, needs: [lead_left]}
-- house.yaml --
layout: 1
house: { country: es, storeys: 2 }
fixtures:
  sink: { kind: kitchen_sink, state: existing, waste: { size: DN 40, made_of: %[1]s, length: 1.20 m ± 10 mm, drop: 40 mm, bends: none, to: main } }
  basin: { kind: washbasin, waste: { size: DN 40, made_of: plastic, length: 0.90 m, drop: 20 mm, bends: none, to: main } }
stacks:
  main: { size: DN 100, made_of: cast_iron, state: existing }
-- plugins.yaml --
plugins:
  leadwork: { path: '%[2]s' }
`

// needNode skips where Node or the plugin's packages are missing, with the
// reason; where everything must run, their lack is a failure.
func needNode(t *testing.T) (program string) {
	t.Helper()
	missing := t.Skipf
	if os.Getenv("CI") == "true" {
		missing = t.Fatalf
	}
	if _, err := exec.LookPath("node"); err != nil {
		missing("the plugin in another language is not tried: no Node here (%v)", err)
	}
	if _, err := os.Stat(filepath.Join(leadwork, "node_modules", "@grpc", "grpc-js")); err != nil {
		missing("the plugin in another language is not tried: run npm ci in plugins/leadwork (%v)", err)
	}
	program, err := filepath.Abs(filepath.Join(leadwork, "leadwork.js"))
	if err != nil {
		t.Fatal(err)
	}
	return program
}

// unpackVillage writes the village with a sink's waste of that material into a new
// folder and goes there.
func unpackVillage(t *testing.T, madeOf, program string) {
	t.Helper()
	dir := t.TempDir()
	for _, f := range txtar.Parse(fmt.Appendf(nil, village, madeOf, program)).Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
}

// A quantity that a process written in another language measures reaches a
// rule, and what it cannot measure is named. Worked out by hand: the one pipe
// that may be lead is 1.20 m ± 10 mm long; the by-law allows none.
func TestForeignLanguageReachesARule(t *testing.T) {
	program := needNode(t)
	for _, c := range []struct {
		name, madeOf string
		args         []string
		verdict      finding.Verdict
		says         []string
	}{
		{"lead", "lead", []string{"--plugins", "plugins.yaml"}, finding.Breaks, []string{"1.2", "lead pipe that stays"}},
		{"plastic", "plastic", []string{"--plugins", "plugins.yaml"}, finding.Meets, nil},
		{"not told", "unknown", []string{"--plugins", "plugins.yaml"}, finding.CannotTell, []string{"what sink.waste is made of"}},
		{"without the plugin", "lead", nil, finding.CannotTell, []string{"no plugin measures lead_left"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			unpackVillage(t, c.madeOf, program)
			args := append([]string{"check", "house.yaml", "--profile", "./village", "--all", "--format", "json"}, c.args...)
			out, errs, _ := tool(t, args...)
			var sheet struct{ Findings []json.RawMessage }
			if err := json.Unmarshal([]byte(out), &sheet); err != nil {
				t.Fatalf("%v: %s%s", err, out, errs)
			}
			found := slices.DeleteFunc(sheet.Findings, func(f json.RawMessage) bool {
				return !strings.Contains(string(f), `"no_lead"`)
			})
			if len(found) != 1 {
				t.Fatalf("%d findings of the rule in %s", len(found), out)
			}
			var one struct{ Verdict finding.Verdict }
			if err := json.Unmarshal(found[0], &one); err != nil || one.Verdict != c.verdict {
				t.Errorf("verdict %q (%v), want %q", one.Verdict, err, c.verdict)
			}
			for _, said := range c.says {
				if !strings.Contains(string(found[0]), said) {
					t.Errorf("the finding does not say %q: %s", said, found[0])
				}
			}
		})
	}
}

// The tool names the process, and shows the working it gives.
func TestForeignLanguageIsListed(t *testing.T) {
	unpackVillage(t, "lead", needNode(t))
	out, errs, code := tool(t, "plugin", "list", "--plugins", "plugins.yaml")
	if code != 0 || !regexp.MustCompile(`(?m)^leadwork +1\.0\.0 +1 quantities .*leadwork\.js +ok$`).MatchString(out) {
		t.Errorf("exit code %d: %s%s", code, out, errs)
	}
	out, errs, _ = tool(t, "measure", "house.yaml", "--plugins", "plugins.yaml", "--quantity", "lead_left", "--format", "json")
	var got struct {
		Subject, Plugin, Numbers string
		Low, Value, High         float64
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatalf("%v: %s%s", err, out, errs)
	}
	if got.Subject != "house" || got.Plugin != "leadwork" || got.Low != 1190 || got.Value != 1200 || got.High != 1210 {
		t.Errorf("measured %+v", got)
	}
	if want := "1200 mm (sink.waste) = 1200 mm (1190 mm to 1210 mm)"; got.Numbers != want {
		t.Errorf("its working is %q, want %q", got.Numbers, want)
	}
}

// The guide for authors quotes the wire whole, so that nobody needs more.
func TestForeignGuideQuotesTheWire(t *testing.T) {
	guide := readText(t, filepath.Join(leadwork, "README.md"))
	for _, file := range []string{"../../plugins/sdk/internal/measurepb/measure.proto", filepath.Join(leadwork, "control.proto")} {
		_, wire, ok := strings.Cut(readText(t, file), "syntax = ")
		if !ok || !strings.Contains(guide, "```proto\nsyntax = "+wire+"```\n") {
			t.Errorf("the README of leadwork does not hold %s as it stands", filepath.Base(file))
		}
	}
}

// What npm installs is fixed by version and checksum, and comes from whatever
// place the machine is set to.
func TestForeignPackagesAreFixed(t *testing.T) {
	var lock struct {
		Packages map[string]struct{ Version, Integrity, Resolved string }
	}
	var own struct{ Dependencies map[string]string }
	for file, into := range map[string]any{"package-lock.json": &lock, "package.json": &own} {
		text := readText(t, filepath.Join(leadwork, file))
		if err := json.Unmarshal([]byte(text), into); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(text, "://") {
			t.Errorf("%s names an address", file)
		}
	}
	delete(lock.Packages, "")
	if len(lock.Packages) < len(own.Dependencies) || len(own.Dependencies) == 0 {
		t.Errorf("%d packages are fixed for %d dependencies", len(lock.Packages), len(own.Dependencies))
	}
	for name, p := range lock.Packages {
		if !strings.HasPrefix(p.Integrity, "sha512-") || p.Resolved != "" {
			t.Errorf("%s: checksum %q, address %q", name, p.Integrity, p.Resolved)
		}
	}
	for name, version := range own.Dependencies {
		if lock.Packages["node_modules/"+name].Version != version {
			t.Errorf("%s is asked for as %s, which is no exact version", name, version)
		}
	}
}

func readText(t *testing.T, file string) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
