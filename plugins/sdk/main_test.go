package sdk

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"fallrule/plugins/sdk/plan"
)

// The plugins, and the hosts that are killed, are this test program started
// again.
const modeVar = "FALLRULE_TEST_MODE"

func TestMain(m *testing.M) {
	if IsChild() {
		Serve(echo{sleeper: startSleeper()})
		return
	}
	switch os.Getenv(modeVar) {
	case "host":
		beHost()
	case "plain host":
		bePlainHost()
	}
	os.Exit(m.Run())
}

// echo tells of its process what a test wants to know: the version is the
// names of its variables, or the number of a process it started; the quantity
// is the number of branches it got.
type echo struct{ sleeper string }

// startSleeper starts a process that would outlive the plugin, in one mode.
func startSleeper() string {
	if os.Getenv(modeVar) != "sleeper" {
		return ""
	}
	c := exec.Command("sleep", "100")
	if err := c.Start(); err != nil {
		panic(err)
	}
	return strconv.Itoa(c.Process.Pid)
}

func (e echo) Describe(context.Context) (Description, error) {
	version := e.sleeper
	if version == "" {
		version = variables()
	}
	return Description{Name: "echo", Version: version, Quantities: []Quantity{{Name: "branches", Unit: "1"}}}, nil
}

func variables() string {
	var names []string
	for _, v := range os.Environ() {
		name, _, _ := strings.Cut(v, "=")
		names = append(names, name)
	}
	return strings.Join(names, " ")
}

func (echo) Measure(_ context.Context, r Request) (Response, error) {
	n := float64(len(r.Plan.Branches))
	m := Measurement{Quantity: "branches", Subject: "house", Band: &Band{n, n, n}}
	if r.Working {
		m.Working.Formula = "branches = their number"
	}
	return Response{Measurements: []Measurement{m}}, nil
}

func self(t testing.TB) Command {
	t.Helper()
	c, err := Self()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func startEcho(t testing.TB, c Command) *Process {
	t.Helper()
	p, err := Start(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Close() })
	return p
}

// beHost starts a plugin as the tool does, tells its number and waits to be
// killed.
func beHost() {
	_ = IsChild()
	c, err := Self()
	if err != nil {
		panic(err)
	}
	p, err := Start(context.Background(), c)
	if err != nil {
		panic(err)
	}
	fmt.Println(p.Pid())
	select {}
}

// bePlainHost starts a plugin without the help of the kernel, so that only its
// own watch can end it.
func bePlainHost() {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), handshake.MagicCookieKey+"="+handshake.MagicCookieValue)
	out, err := c.StdoutPipe()
	if err != nil {
		panic(err)
	}
	if err := c.Start(); err != nil {
		panic(err)
	}
	if !bufio.NewScanner(out).Scan() { // until it serves
		panic("the plugin does not serve")
	}
	fmt.Println(c.Process.Pid)
	select {}
}

func block(n int) *plan.Plan {
	p := &plan.Plan{Version: plan.Version}
	for i := range n {
		p.Branches = append(p.Branches, plan.Pipe{ID: fmt.Sprintf("flat%d.bath.waste", i), MadeOf: "plastic"})
	}
	return p
}

// eventually waits for what another process brings about.
func eventually(t *testing.T, what string, done func() bool) {
	t.Helper()
	for range 500 {
		if done() {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("after 5 s: not %s", what)
}
