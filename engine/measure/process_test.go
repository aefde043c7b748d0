package measure

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"fallrule/engine/finding"
	"fallrule/plugins/sdk"
	"fallrule/schema"
)

func catalogue(t testing.TB) schema.Catalogue {
	t.Helper()
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// process is this program as a plugin of the mode.
func process(t testing.TB, name, mode string) (string, sdk.Command) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return name, sdk.Command{Path: self, Env: []string{modeVar + "=" + mode}, Timeout: 20 * time.Second}
}

var wanted = []string{"drop", "fall", "runs"}

// run asks a good plugin, and a second one named bad, for three quantities.
func run(t *testing.T, second sdk.Command) Measures {
	t.Helper()
	sources := []Source{External(process(t, "good", "good")), External("bad", second)}
	m := Run(context.Background(), layout(), wanted, sources, catalogue(t), Options{Working: true})
	for _, id := range []string{"a", "b"} {
		got, ok := m.Of("drop", id)
		if !ok || got.Band == nil || got.Band.Value != 30 || got.Plugin != "good" {
			t.Errorf("drop of %s by the good plugin: %+v", id, got)
		}
	}
	return m
}

func wantFault(t *testing.T, m Measures, quantity, plugin, text string) {
	t.Helper()
	for _, id := range []string{"a", "b"} {
		got, ok := m.Of(quantity, id)
		if !ok || got.Because != finding.PluginFault || got.Plugin != plugin || !strings.Contains(got.Text, text) {
			t.Errorf("%s of %s: want a fault of %s that tells %q, got %+v", quantity, id, plugin, text, got)
		}
		if got.Band != nil || got.States != nil {
			t.Errorf("%s of %s: has a value beside its fault: %+v", quantity, id, got)
		}
	}
}

func wantStands(t *testing.T, m Measures) {
	t.Helper()
	for _, id := range []string{"a", "b"} {
		if got, _ := m.Of("fall", id); got.Band == nil || got.Band.Value != 20 {
			t.Errorf("fall of %s: %+v", id, got)
		}
		if got, _ := m.Of("runs", id); len(got.States) != 1 || got.States[0] != "falls" {
			t.Errorf("runs of %s: %+v", id, got)
		}
	}
}

// A plugin that cannot be had at all: both quantities are lost.
func TestPluginThatFails(t *testing.T) {
	start := "no plugin measures fall; plugin bad failed: start plugin "
	tests := []struct {
		mode   string
		change func(*sdk.Command)
		text   string
	}{
		{mode: "kill", text: "plugin bad: measure: ended: signal: killed"},
		{mode: "exit", text: "plugin bad: measure: ended: exit status 7"},
		{mode: "error", text: "measure: the tape is torn"},
		{mode: "panic", text: "measure: panic: the pipe burst"},
		{mode: "panic elsewhere", text: "it said: panic: the cellar is flooded"},
		{mode: "hang", change: func(c *sdk.Command) { c.Timeout = time.Second }, text: "no answer within 1s"},
		{mode: "flood", text: "more than the"},
		{mode: "small flood", text: "44 answers, 4 were asked for"},
		{mode: "long", text: "one answer of 10"},
		{mode: "rubbish first", text: "welcome to the plugin"},
		{mode: "never starts", change: func(c *sdk.Command) { c.StartTimeout = 300 * time.Millisecond }, text: "300ms"},
		{mode: "deaf", change: func(c *sdk.Command) { c.StartTimeout = 500 * time.Millisecond }, text: "did not answer within 500ms"},
		{mode: "newer version", text: "incompatible API version with plugin. Plugin version: 99"},
		{mode: "other protocol", text: `unsupported plugin protocol "netrpc"`},
		{mode: "elsewhere", text: "outside the folder"},
		{mode: "ends at once", text: "the licence ran out"},
		{mode: "bad name", text: `it is named "Bad\n"`},
		{mode: "good", change: func(c *sdk.Command) { c.SHA256 = make([]byte, 32) }, text: start},
		{mode: "good", change: func(c *sdk.Command) { c.SHA256 = make([]byte, 32) }, text: "the SHA-256 of"},
		{mode: "good", change: func(c *sdk.Command) { c.Path = "/nowhere/plugin" }, text: "no such file"},
		{mode: "good", change: func(c *sdk.Command) { c.Path = notExecutable(t) }, text: "permission denied"},
	}
	for _, test := range tests {
		t.Run(test.mode, func(t *testing.T) {
			t.Parallel()
			_, c := process(t, "bad", test.mode)
			if test.change != nil {
				test.change(&c)
			}
			m := run(t, c)
			wantFault(t, m, "fall", "bad", test.text)
			wantFault(t, m, "runs", "bad", "bad")
			if m.Plugins[1].Fault == "" {
				t.Errorf("the list of plugins tells no fault: %+v", m.Plugins)
			}
		})
	}
}

func notExecutable(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "plugin")
	if err := os.WriteFile(path, []byte("no program"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A plugin that lies once about fall: that costs fall, not runs.
func TestPluginThatLies(t *testing.T) {
	tests := map[string]string{
		"longish":    "its working is 16385 bytes long",
		"steer":      "its working holds control characters",
		"unknown":    `an answer for "cellar", which is no subject of it`,
		"other kind": `an answer for "a.trap", which is no subject of it`,
		"nan":        "no number that can be: NaN",
		"nan end":    "no number that can be: 20 (-Inf to NaN)",
		"infinite":   "no number that can be: +Inf",
		"inverted":   "no number that can be: 20 (30 to 10)",
		"no value":   "no value",
		"a word":     "a state, it is a number",
		"twice":      `a second answer for "a"`,
		"wrong unit": `offers fall in "%", the catalogue has "mm/m"`,
	}
	for mode, text := range tests {
		t.Run(mode, func(t *testing.T) {
			t.Parallel()
			_, c := process(t, "bad", mode)
			m := run(t, c)
			wantFault(t, m, "fall", "bad", text)
			if !strings.Contains(m.Plugins[1].Fault, text) {
				t.Errorf("the list of plugins: %+v", m.Plugins)
			}
			for _, id := range []string{"a", "b"} {
				if got, _ := m.Of("runs", id); len(got.States) != 1 || got.States[0] != "falls" {
					t.Errorf("runs of %s: %+v", id, got)
				}
			}
		})
	}
}

func TestUnknownWordAndReason(t *testing.T) {
	_, c := process(t, "bad", "unknown word")
	wantFault(t, run(t, c), "runs", "bad", `the unknown word "slopes"`)
	_, c = process(t, "bad", "no reason")
	m := run(t, c)
	wantFault(t, m, "fall", "bad", `the unknown reason "no mood" for a gap`)
	wantFault(t, m, "runs", "bad", "gave no answer")
}

// One subject left out: its quantity stands for the others. The answer that
// nobody asked for is named and changes nothing.
func TestSilenceAndUnaskedAnswer(t *testing.T) {
	_, c := process(t, "bad", "silent")
	m := run(t, c)
	if got, _ := m.Of("fall", "a"); got.Because != finding.PluginFault || got.Text != "plugin bad gave no answer" {
		t.Errorf("fall of a: %+v", got)
	}
	if got, _ := m.Of("fall", "b"); got.Band == nil || got.Band.Value != 20 {
		t.Errorf("fall of b: %+v", got)
	}
	for _, text := range []string{`answers for "drop", which it was not asked for`, "gave no answer for fall of a, 1 in all"} {
		if !strings.Contains(m.Plugins[1].Fault, text) {
			t.Errorf("want %q in %q", text, m.Plugins[1].Fault)
		}
	}
}

func TestMemoryLimit(t *testing.T) {
	if !sdk.MemoryLimited() {
		t.Skip("memory limits are not enforced on " + runtime.GOOS)
	}
	_, c := process(t, "bad", "hog")
	c.MemoryLimit = 256 << 20
	wantFault(t, run(t, c), "fall", "bad", "used more than its 256 MiB of memory")
}

// A plugin that reads its standard input gets nothing, and the layout that is
// piped into the tool stays whole.
func TestStandardInputStaysTheTools(t *testing.T) {
	in, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer func(old *os.File) { os.Stdin = old }(os.Stdin)
	os.Stdin = in
	if _, err := out.WriteString("layout: 1\n"); err != nil {
		t.Fatal(err)
	}
	_, c := process(t, "bad", "reads stdin")
	m := run(t, c)
	if got, _ := m.Of("fall", "a"); got.Band == nil || got.Band.Value != 0 {
		t.Errorf("the plugin read bytes: %+v", got)
	}
	_ = out.Close()
	left := make([]byte, 20)
	if n, _ := in.Read(left); string(left[:n]) != "layout: 1\n" {
		t.Errorf("left for the tool: %q", left[:n])
	}
}

// Nothing a plugin prints while it serves reaches the tool's own output.
func TestPrintingPluginIsNotHeard(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	if err != nil {
		t.Fatal(err)
	}
	stdout, stderr := os.Stdout, os.Stderr
	os.Stdout, os.Stderr = file, file
	_, c := process(t, "bad", "chatty")
	m := run(t, c)
	os.Stdout, os.Stderr = stdout, stderr
	wantStands(t, m)
	if b, err := os.ReadFile(file.Name()); err != nil || len(b) != 0 {
		t.Errorf("printed: %.100q, %v", b, err)
	}
}
