package measure

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// The plugins of these tests are this test program, started again: modeVar
// tells the child which one to be.
const modeVar = "FALLRULE_TEST_MODE"

func TestMain(m *testing.M) {
	if sdk.IsChild() {
		bePlugin(os.Getenv(modeVar))
		return
	}
	os.Exit(m.Run())
}

func bePlugin(mode string) {
	if before, ok := handshakes[mode]; ok {
		before()
		return
	}
	if measure, ok := misbehaviours[mode]; ok {
		sdk.Serve(bad{measure})
		return
	}
	served, ok := servers[mode]
	if !ok {
		fmt.Fprintln(os.Stderr, "no such test plugin:", mode)
		os.Exit(1)
	}
	served()
}

// fake answers every subject of what it offers with one number or word.
type fake struct {
	name   string
	offers []sdk.Quantity
	value  float64
	word   string
}

func (f fake) Describe(context.Context) (sdk.Description, error) {
	return sdk.Description{Name: f.name, Version: "1", Quantities: f.offers}, nil
}

func (f fake) Measure(_ context.Context, r sdk.Request) (sdk.Response, error) {
	var out sdk.Response
	for _, q := range r.Quantities {
		for _, b := range r.Plan.Branches {
			m := sdk.Measurement{Quantity: q, Subject: b.ID}
			if f.word != "" && q == "runs" {
				m.States = []string{f.word}
			} else {
				m.Band = &sdk.Band{Low: math.Inf(-1), Value: f.value, High: f.value + 1}
			}
			out.Measurements = append(out.Measurements, m)
		}
	}
	return out, nil
}

var (
	fall   = sdk.Quantity{Name: "fall", Unit: "mm/m"}
	length = sdk.Quantity{Name: "length", Unit: "mm"}
	drop   = sdk.Quantity{Name: "drop", Unit: "mm"}
	runs   = sdk.Quantity{Name: "runs"}
)

var good = fake{name: "good", offers: []sdk.Quantity{drop}, value: 30}

// bad offers fall and runs and answers as its mode tells, for branch a.
type bad struct {
	measure func(sdk.Request) (sdk.Response, error)
}

func (bad) Describe(context.Context) (sdk.Description, error) {
	return sdk.Description{Name: "bad", Version: "1", Quantities: []sdk.Quantity{fall, runs}}, nil
}

func (b bad) Measure(_ context.Context, r sdk.Request) (sdk.Response, error) { return b.measure(r) }

// honest is what bad ought to say, for the modes that spoil one part of it.
func honest(r sdk.Request) sdk.Response {
	out, _ := fake{offers: []sdk.Quantity{fall, runs}, value: 20, word: "falls"}.Measure(context.Background(), r)
	return out
}

// spoiling changes the answer for the fall of branch a.
func spoiling(change func(*sdk.Measurement)) func(sdk.Request) (sdk.Response, error) {
	return func(r sdk.Request) (sdk.Response, error) {
		out := honest(r)
		for i := range out.Measurements {
			if m := &out.Measurements[i]; m.Quantity == "fall" && m.Subject == "a" {
				change(m)
			}
		}
		return out, nil
	}
}

// misbehaviours are ways to answer Measure.
var misbehaviours = map[string]func(sdk.Request) (sdk.Response, error){
	"kill": func(sdk.Request) (sdk.Response, error) {
		self, _ := os.FindProcess(os.Getpid())
		_ = self.Kill()
		select {}
	},
	"exit":  func(sdk.Request) (sdk.Response, error) { os.Exit(7); return sdk.Response{}, nil },
	"error": func(sdk.Request) (sdk.Response, error) { return sdk.Response{}, errors.New("the tape is torn") },
	"panic": func(sdk.Request) (sdk.Response, error) { panic("the pipe burst") },
	"panic elsewhere": func(sdk.Request) (sdk.Response, error) {
		go panic("the cellar is flooded")
		select {}
	},
	"hang": func(sdk.Request) (sdk.Response, error) { select {} },
	"hog": func(sdk.Request) (sdk.Response, error) {
		for held := [][]byte{}; ; time.Sleep(10 * time.Millisecond) {
			block := make([]byte, 32<<20)
			for i := 0; i < len(block); i += 1024 {
				block[i] = 1
			}
			held = append(held, block)
			if len(held) > 64 {
				select {}
			}
		}
	},
	"flood": func(r sdk.Request) (sdk.Response, error) {
		return sdk.Response{Measurements: make([]sdk.Measurement, 2_000_000)}, nil
	},
	"small flood": func(r sdk.Request) (sdk.Response, error) {
		out := honest(r)
		out.Gaps = make([]sdk.Gap, 40)
		return out, nil
	},
	"long":       spoiling(func(m *sdk.Measurement) { m.Working.Numbers = strings.Repeat("9", 1<<20) }),
	"longish":    spoiling(func(m *sdk.Measurement) { m.Working.Numbers = strings.Repeat("9", sdk.MaxText+1) }),
	"steer":      spoiling(func(m *sdk.Measurement) { m.Working.Source = "\x1b[2Jall meets" }),
	"unknown":    spoiling(func(m *sdk.Measurement) { m.Subject = "cellar" }),
	"other kind": spoiling(func(m *sdk.Measurement) { m.Subject = "a.trap" }),
	"nan":        spoiling(func(m *sdk.Measurement) { m.Band.Value = math.NaN() }),
	"nan end":    spoiling(func(m *sdk.Measurement) { m.Band.High = math.NaN() }),
	"infinite":   spoiling(func(m *sdk.Measurement) { m.Band.Value, m.Band.High = math.Inf(1), math.Inf(1) }),
	"inverted":   spoiling(func(m *sdk.Measurement) { m.Band.Low, m.Band.High = 30, 10 }),
	"no value":   spoiling(func(m *sdk.Measurement) { m.Band = nil }),
	"a word":     spoiling(func(m *sdk.Measurement) { m.Band, m.States = nil, []string{"falls"} }),
	"silent":     spoiling(func(m *sdk.Measurement) { *m = sdk.Measurement{Quantity: "drop", Subject: "a", Band: m.Band} }),
	"twice": func(r sdk.Request) (sdk.Response, error) {
		out := honest(r)
		out.Gaps = append(out.Gaps, sdk.Gap{Quantity: "fall", Subject: "a", Because: sdk.NotMeasured, Needs: "a.waste.fall"})
		return out, nil
	},
	"no reason": func(r sdk.Request) (sdk.Response, error) {
		out := honest(r)
		out.Measurements = nil
		out.Gaps = append(out.Gaps, sdk.Gap{Quantity: "fall", Subject: "a", Because: "no mood"})
		return out, nil
	},
}

// handshakes are programs that never become a plugin.
var handshakes = map[string]func(){
	"rubbish first": func() { fmt.Println("welcome to the plugin"); sdk.Serve(bad{}) },
	"never starts":  func() { select {} },
	"newer version": func() { fmt.Println("1|99|unix|/nowhere|grpc"); select {} },
	"other protocol": func() {
		fmt.Printf("1|1|unix|%s|netrpc\n", filepath.Join(os.Getenv("PLUGIN_UNIX_SOCKET_DIR"), "x"))
		select {}
	},
	"elsewhere":    func() { fmt.Println("1|1|tcp|127.0.0.1:1|grpc"); select {} },
	"ends at once": func() { fmt.Fprintln(os.Stderr, "the licence ran out"); os.Exit(3) },
	"deaf": func() {
		address := filepath.Join(os.Getenv("PLUGIN_UNIX_SOCKET_DIR"), "deaf")
		if _, err := net.Listen("unix", address); err != nil {
			panic(err)
		}
		fmt.Printf("1|1|unix|%s|grpc\n", address)
		select {}
	},
}

// servers are plugins with something of their own around serving.
var servers = map[string]func(){
	"":     func() { sdk.Serve(good) }, // started by Bundled
	"good": func() { sdk.Serve(good) },
	"two":  func() { sdk.Serve(good, fake{name: "second", offers: []sdk.Quantity{length}, value: 900}) },
	"one of two breaks": func() {
		sdk.Serve(bad{misbehaviours["panic"]}, fake{name: "second", offers: []sdk.Quantity{length}, value: 900})
	},
	"wrong unit": func() {
		sdk.Serve(fake{name: "bad", offers: []sdk.Quantity{{Name: "fall", Unit: "%"}, runs}, value: 2, word: "falls"})
	},
	"unknown word":   func() { sdk.Serve(fake{name: "bad", offers: []sdk.Quantity{fall, runs}, value: 20, word: "slopes"}) },
	"bad name":       func() { sdk.Serve(fake{name: "Bad\n", offers: []sdk.Quantity{fall, runs}}) },
	"nameless offer": func() { sdk.Serve(fake{name: "bad", offers: []sdk.Quantity{{Name: "slope", Unit: "mm/m"}}}) },
	"reads stdin": func() {
		b, err := io.ReadAll(os.Stdin)
		if err != nil {
			panic(err)
		}
		sdk.Serve(fake{name: "bad", offers: []sdk.Quantity{fall, runs}, value: float64(len(b)), word: "falls"})
	},
	"chatty": func() {
		sdk.Serve(bad{func(r sdk.Request) (sdk.Response, error) {
			for range 1000 {
				fmt.Println("a line the tool must not print")
				fmt.Fprintln(os.Stderr, "nor this one")
			}
			return honest(r), nil
		}})
	},
}

// layout has two branches and a trap.
func layout() *plan.Plan {
	return &plan.Plan{
		Version:  plan.Version,
		Branches: []plan.Pipe{{ID: "a"}, {ID: "b"}},
		Traps:    []plan.Trap{{ID: "a.trap"}},
	}
}
