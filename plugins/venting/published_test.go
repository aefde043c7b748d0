package venting

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/reply/replytest"
)

func published(t *testing.T, file string, into any) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", "venting", file))
	if err != nil {
		t.Fatal(err)
	}
	if err := yaml.Unmarshal(raw, into); err != nil {
		t.Fatalf("read %s: %v", file, err)
	}
}

// The sources stand beside the rows of testdata/published/venting.
func TestPublishedBranches(t *testing.T) {
	var file struct {
		Rows []struct {
			Fixture, Clause, Basis string
			Bore, Length, Fall     float64
		}
	}
	published(t, "siphonage.yaml", &file)
	for _, x := range file.Rows {
		for beyond, p := range map[string][2]float64{"": {x.Length, x.Fall}, "longer": {x.Length + 1, x.Fall}, "steeper": {x.Length, x.Fall + 1}} {
			got := bench.Measured(t, taped(x.Fixture, x.Bore, p[0], p[1]), "siphonage", "sink.trap").States
			if low := slices.Equal(got, []string{"low"}); low != (beyond == "") {
				t.Errorf("%s on %g mm (%s), %s: %v", x.Fixture, x.Bore, x.Clause, beyond, got)
			}
		}
	}
	t.Logf("%d published branches compared", len(file.Rows))
	if len(file.Rows) < 10 {
		t.Errorf("%d rows, want at least 10", len(file.Rows))
	}
}

func TestPublishedSeals(t *testing.T) {
	var file struct {
		Gauge []struct{ Pressure, Height, Tolerance float64 }
		Lost  []struct {
			Pressure, Legs, Lost, Kept, Tolerance float64
			Of                                    float64 `yaml:"kept_of"`
		}
		Dry []struct{ Seal, Days float64 }
	}
	published(t, "seal.yaml", &file)
	near := func(what string, got, want, tolerance float64) {
		if math.Abs(got-want) > tolerance*want {
			t.Errorf("%s: %.2f, published %.2f", what, got, want)
		}
	}
	for _, x := range file.Gauge {
		near("water gauge", waterGauge(x.Pressure), x.Height, x.Tolerance)
	}
	for _, x := range file.Lost {
		near("lost", sealLost(x.Pressure, x.Legs), x.Lost, x.Tolerance)
		near("kept", x.Of-sealLost(x.Pressure, x.Legs), x.Kept, x.Tolerance)
	}
	for _, x := range file.Dry {
		p := mill()
		p.Traps[0].Seal = replytest.Read(x.Seal, 0)
		near("days", bench.Band(t, p, "dry_days", "basin.trap").Value, x.Days, 1e-9)
	}
	rows := len(file.Gauge) + len(file.Lost) + len(file.Dry)
	t.Logf("%d published figures of seals compared", rows)
	if rows < 5 {
		t.Errorf("%d rows, want at least 5", rows)
	}
}
