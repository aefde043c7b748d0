package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/validate"
	"fallrule/plugins/bundled"
	"fallrule/plugins/sdk"
	"fallrule/schema"
)

// asTool makes the test's own program behave as the tool, so that exit codes
// are those of a real process.
const asTool = "FALLRULE_TEST_AS_TOOL"

func TestMain(m *testing.M) {
	if sdk.IsChild() {
		if mode := os.Getenv(badPlugin); mode != "" {
			serveBad(mode)
		} else {
			bundled.Serve()
		}
		return
	}
	if os.Getenv(asTool) != "" {
		main()
		return
	}
	testscript.Main(m, map[string]func(){"fallrule": main})
}

// Each script shows one behaviour of the tool from outside.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		RequireExplicitExec: true,
		UpdateScripts:       os.Getenv("UPDATE") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOUSES", filepath.Join(root, "testdata", "houses"))
			e.Setenv("TESTDATA", filepath.Join(root, "testdata"))
			return nil
		},
	})
}

// The demo houses' sheets, line for line. Every break, too close and cannot
// tell in them, and twenty that are met, is worked out by hand in the .hand.md
// beside the house.
func TestHouses(t *testing.T) {
	t.Chdir("../..")
	for _, c := range []struct {
		name string
		args []string
		exit int
	}{
		{"stone_house", []string{"check", "testdata/houses/stone_house.yaml"}, finding.ExitBreaks},
		{"timber_house", []string{"check", "testdata/houses/timber_house.yaml", "--all"}, finding.ExitMet},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := tool(t, c.args...)
			if code != c.exit {
				t.Errorf("exit code %d, want %d; %s", code, c.exit, errs)
			}
			golden(t, filepath.Join("testdata/houses", c.name+".golden.txt"), out)
		})
	}
}

// tool runs the tool in this process.
func tool(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), &o, &e)
	return o.String(), e.String(), code
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s differs (-want +got):\n%s", file, diff)
	}
}

// Exit codes, of a real process: `go run` would fold them into one.
func TestExitCodes(t *testing.T) {
	for _, c := range []struct {
		args string
		exit int
	}{
		{"check ../../testdata/houses/stone_house.yaml", finding.ExitBreaks},
		{"check ../../testdata/houses/timber_house.yaml", finding.ExitMet},
		{"check ../../testdata/houses/three_fixtures.yaml --profile es", finding.ExitUnsettled},
		{"check ../../testdata/broken/cycle.yaml", finding.ExitNoRun},
		{"check no_such_file.yaml", finding.ExitNoRun},
		{"check ../../testdata/houses/stone_house.yaml --profile atlantis", finding.ExitNoRun},
		{"check ../../testdata/houses/stone_house.yaml --format hologram", finding.ExitNoRun},
		{"surprise", finding.ExitNoRun},
	} {
		cmd := exec.Command(os.Args[0], strings.Fields(c.args)...)
		cmd.Env = append(os.Environ(), asTool+"=1")
		out, err := cmd.CombinedOutput()
		var exited *exec.ExitError
		if err != nil && !errors.As(err, &exited) {
			t.Fatal(err)
		}
		if code := cmd.ProcessState.ExitCode(); code != c.exit {
			t.Errorf("%s: exit code %d, want %d\n%s", c.args, code, c.exit, out)
		}
	}
}

// The JSON sheet is what its schema says, and its counts are those of its
// findings.
func TestSheetJSON(t *testing.T) {
	out, errs, _ := tool(t, "check", "../../testdata/houses/stone_house.yaml", "--format", "json")
	doc, faults := document.Read("sheet.json", []byte(out))
	if document.Refused(faults) {
		t.Fatal(faults, errs)
	}
	v, err := validate.New("sheet.schema.json", schema.Sheet)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range v.Document(doc) {
		t.Error(fault)
	}
	var sheet struct {
		Summary struct {
			ByVerdict map[string]int            `json:"by_verdict"`
			ByProfile map[string]map[string]int `json:"by_profile"`
		}
		Findings []struct{ Profile, Verdict, Clause, Basis, Message string }
	}
	if err := json.Unmarshal([]byte(out), &sheet); err != nil {
		t.Fatal(err)
	}
	counted := map[string]int{}
	for _, f := range sheet.Findings {
		counted[f.Verdict]++
		sheet.Summary.ByProfile[f.Profile][f.Verdict]--
		if f.Clause == "" || f.Basis == "" || f.Message == "" {
			t.Errorf("a finding without clause, basis or message: %+v", f)
		}
	}
	for verdict, n := range sheet.Summary.ByVerdict {
		if counted[verdict] != n {
			t.Errorf("%d findings are %s, the summary says %d", counted[verdict], verdict, n)
		}
	}
	for id, rest := range sheet.Summary.ByProfile {
		for verdict, n := range rest {
			if n != 0 {
				t.Errorf("%s: the summary of %s is off by %d", id, verdict, n)
			}
		}
	}
}
