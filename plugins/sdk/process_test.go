package sdk

import (
	"bufio"
	"context"
	"crypto/sha256"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func TestProcessMeasures(t *testing.T) {
	p := startEcho(t, self(t))
	r := Request{Plan: block(3), Quantities: []string{"branches"}, Working: true}
	a, err := p.Measure(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Measurements) != 1 || *a.Measurements[0].Band != (Band{3, 3, 3}) || a.Measurements[0].Working.Formula == "" {
		t.Errorf("%+v", a)
	}
	if err := p.Close(); err != nil || p.Pid() != 0 {
		t.Errorf("after Close: process %d, %v", p.Pid(), err)
	}
	if _, err := p.Measure(context.Background(), r); err == nil {
		t.Error("a closed plugin answers")
	}
}

// The stock server takes 4 MiB; a large block of flats is more.
func TestLayoutLargerThanTheStockLimit(t *testing.T) {
	large := block(40_000)
	w, err := requestToWire(Request{Plan: large})
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Plan) <= 4<<20 {
		t.Fatalf("the layout is only %d bytes", len(w.Plan))
	}
	a, err := startEcho(t, self(t)).Measure(context.Background(), Request{Plan: large, Quantities: []string{"branches"}})
	if err != nil || len(a.Measurements) != 1 || a.Measurements[0].Band.Value != 40_000 {
		t.Errorf("%+v, %v", a, err)
	}
}

func TestEnvironmentIsSmall(t *testing.T) {
	t.Setenv("FALLRULE_TEST_SECRET", "x")
	c := self(t)
	c.Env = []string{"GIVEN=1"}
	list, err := startEcho(t, c).Describe(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	names := strings.Fields(list[0].Version)
	if !slices.Contains(names, "GIVEN") || !slices.Contains(names, "PLUGIN_UNIX_SOCKET_DIR") {
		t.Errorf("variables: %v", names)
	}
	for _, name := range names {
		allowed := slices.Contains(inherited, name) || name == "GIVEN" || name == handshake.MagicCookieKey || strings.HasPrefix(name, "PLUGIN_")
		if !allowed {
			t.Errorf("variable %s reaches the plugin", name)
		}
	}
}

func TestChecksum(t *testing.T) {
	c := self(t)
	b, err := os.ReadFile(c.Path)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(b)
	c.SHA256 = sum[:]
	startEcho(t, c)
	c.SHA256[0]++
	if _, err := Start(context.Background(), c); err == nil || !strings.Contains(err.Error(), "is not the one given") {
		t.Errorf("wrong checksum: %v", err)
	}
}

// A program that never asked whether it is the child must not start itself:
// its child would not ask either, and start another.
func TestSelfWithoutIsChildRefuses(t *testing.T) {
	looked.Store(false)
	defer looked.Store(true)
	if _, err := Self(); err == nil || !strings.Contains(err.Error(), "does not ask sdk.IsChild") {
		t.Errorf("%v", err)
	}
}

func TestPluginDoesNotStartItself(t *testing.T) {
	t.Setenv(handshake.MagicCookieKey, handshake.MagicCookieValue)
	if _, err := Self(); err == nil || !strings.Contains(err.Error(), "already") {
		t.Errorf("%v", err)
	}
}

// Killed without a word, the host takes its plugins along: by the kernel where
// it can (Linux), by the plugin's own watch everywhere.
func TestOrphanEnds(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("looks at /proc")
	}
	for _, mode := range []string{"host", "plain host"} {
		t.Run(mode, func(t *testing.T) {
			host := exec.Command(os.Args[0])
			host.Env = append(os.Environ(), modeVar+"="+mode, "TMPDIR="+t.TempDir()) // a killed host leaves its socket
			host.Stderr = os.Stderr
			out, err := host.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := host.Start(); err != nil {
				t.Fatal(err)
			}
			scan := bufio.NewScanner(out)
			scan.Scan()
			pid, err := strconv.Atoi(scan.Text())
			if err != nil || !runs(pid) {
				t.Fatalf("the host said %q", scan.Text())
			}
			_ = host.Process.Kill()
			_ = host.Wait()
			eventually(t, "ended: the orphaned plugin", func() bool { return !runs(pid) })
		})
	}
}

// runs tells whether a process is there and no zombie.
func runs(pid int) bool {
	b, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "stat"))
	if err != nil {
		return false
	}
	_, rest, _ := strings.Cut(string(b), ") ")
	return !strings.HasPrefix(rest, "Z")
}

// What a plugin started ends with it: when it is no plugin, and when it ends
// well.
func TestGroupEndsWithThePlugin(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("looks at /proc")
	}
	file := filepath.Join(t.TempDir(), "pid")
	shell := Command{Path: "/bin/sh", Args: []string{"-c", "sleep 100 & echo $! > '" + file + "'; echo rubbish; exit 0"}}
	if _, err := Start(context.Background(), shell); err == nil {
		t.Fatal("a shell is a plugin")
	}
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	wantEnded(t, strings.TrimSpace(string(b)))

	c := self(t)
	c.Env = []string{modeVar + "=sleeper"}
	p := startEcho(t, c)
	list, err := p.Describe(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	_ = p.Close()
	wantEnded(t, list[0].Version)
}

func wantEnded(t *testing.T, process string) {
	t.Helper()
	pid, err := strconv.Atoi(process)
	if err != nil {
		t.Fatal(err)
	}
	eventually(t, "ended: the plugin's own child", func() bool { return !runs(pid) })
}

// The socket's folder goes with the plugin, also when it did not start.
func TestNothingIsLeftBehind(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	p := startEcho(t, self(t))
	if left := leftovers(t); len(left) != 1 {
		t.Errorf("while it runs: %v", left)
	}
	_ = p.Close()
	for _, path := range []string{"/nowhere/plugin", notExecutable(t)} {
		if _, err := Start(context.Background(), Command{Path: path}); err == nil {
			t.Errorf("%s started", path)
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if _, err := Start(ended, self(t)); err == nil {
		t.Error("started though nobody waits")
	}
	eventually(t, "empty: the folder for sockets", func() bool { return len(leftovers(t)) == 0 })
}

func notExecutable(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "plugin")
	if err := os.WriteFile(path, []byte("no program"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func leftovers(t *testing.T) []os.DirEntry {
	t.Helper()
	left, err := os.ReadDir(os.Getenv("TMPDIR"))
	if err != nil {
		t.Fatal(err)
	}
	return left
}

func BenchmarkStartAndClose(b *testing.B) {
	for b.Loop() {
		p, err := Start(context.Background(), self(b))
		if err != nil {
			b.Fatal(err)
		}
		_ = p.Close()
	}
}
