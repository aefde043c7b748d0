package annular

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

func load(t *testing.T, name string, into any) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "published", "stack", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := yaml.Unmarshal(b, into); err != nil {
		t.Fatalf("read %s: %v", name, err)
	}
}

func off(got, want float64) float64 { return math.Abs(got-want) / math.Abs(want) }

type row struct {
	ID        string  `yaml:"id"`
	Bore      float64 `yaml:"bore_in"`
	BoreMM    float64 `yaml:"bore_mm"`
	Share     float64 `yaml:"share"`
	Flow      float64 `yaml:"flow_gpm"`
	Speed     float64 `yaml:"speed_ft_per_s"`
	Length    float64 `yaml:"length_ft"`
	Least     float64 `yaml:"least_ft_per_s"`
	Most      float64 `yaml:"most_ft_per_s"`
	Film      float64 `yaml:"film_mm"`
	Tolerance float64 `yaml:"tolerance"`
}

// National Standard Plumbing Code (read), an examination (read), and figures
// worked out before the code, as the file says row by row.
func TestPublishedStacks(t *testing.T) {
	var f struct {
		Capacities struct {
			Share float64 `yaml:"share"`
			Rows  []row   `yaml:"rows"`
		} `yaml:"capacities"`
		Speeds struct {
			Rows []row `yaml:"rows"`
		} `yaml:"speeds"`
		Range row `yaml:"speed_range"`
		Film  row `yaml:"film"`
	}
	load(t, "wyly_eaton.yaml", &f)
	if len(f.Capacities.Rows) != 7 || len(f.Speeds.Rows) != 5 || f.Range.ID == "" || f.Film.ID == "" {
		t.Fatalf("%d capacities, %d speeds", len(f.Capacities.Rows), len(f.Speeds.Rows))
	}
	for _, r := range f.Capacities.Rows {
		if q := Flow(r.Bore*inch, f.Capacities.Share) / gpm; off(q, r.Flow) > r.Tolerance {
			t.Errorf("%s: %.1f gpm, printed %g", r.ID, q, r.Flow)
		}
	}
	for _, r := range f.Speeds.Rows {
		q := Flow(r.Bore*inch, r.Share)
		v, l := Terminal(r.Bore*inch, q)
		if off(q/gpm, r.Flow) > r.Tolerance || off(v*metre, r.Speed) > r.Tolerance || off(l*metre, r.Length) > r.Tolerance {
			t.Errorf("%s: %.1f gpm, %.2f ft/s, %.2f ft; want %+v", r.ID, q/gpm, v*metre, l*metre, r)
		}
	}
	if v, _ := Terminal(f.Range.Bore*inch, Flow(f.Range.Bore*inch, f.Range.Share)); v*metre < f.Range.Least || v*metre > f.Range.Most {
		t.Errorf("%s: %.1f ft/s", f.Range.ID, v*metre)
	}
	if film := Film(f.Film.BoreMM, f.Film.Share); off(film, f.Film.Film) > f.Film.Tolerance {
		t.Errorf("%s: a film of %.2f mm, want %g", f.Film.ID, film, f.Film.Film)
	}
	t.Logf("%d published figures of stacks compared", len(f.Capacities.Rows)+len(f.Speeds.Rows)+2)
}

// EN 12056-2, tables 11 and 12 (read): other reasons, so a like size and the
// same order are all that is asked.
func TestLimitsOfEN12056FillLikeShares(t *testing.T) {
	var f struct {
		Least float64 `yaml:"least_share"`
		Most  float64 `yaml:"most_share"`
		Rows  []struct {
			Size            int     `yaml:"size"`
			Bore            float64 `yaml:"bore_mm"`
			PrimarySquare   float64 `yaml:"primary_square"`
			PrimarySwept    float64 `yaml:"primary_swept"`
			SecondarySquare float64 `yaml:"secondary_square"`
			SecondarySwept  float64 `yaml:"secondary_swept"`
		} `yaml:"rows"`
	}
	load(t, "en_12056_stacks.yaml", &f)
	if len(f.Rows) != 8 {
		t.Fatalf("%d rows", len(f.Rows))
	}
	for _, r := range f.Rows {
		ps, pw, ss, sw := Share(r.Bore, r.PrimarySquare), Share(r.Bore, r.PrimarySwept), Share(r.Bore, r.SecondarySquare), Share(r.Bore, r.SecondarySwept)
		if ps < f.Least || sw > f.Most || ps >= pw || pw > ss || ss >= sw {
			t.Errorf("stack of %d: shares %.3f, %.3f, %.3f, %.3f", r.Size, ps, pw, ss, sw)
		}
	}
	t.Logf("%d limits of EN 12056-2 compared", 4*len(f.Rows))
}

func TestShareIsTheInverseOfFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore, share := rapid.Float64Range(30, 300).Draw(t, "bore"), rapid.Float64Range(0.001, 1).Draw(t, "share")
		q := Flow(bore, share)
		if got := Share(bore, q); math.Abs(got-share) > 1e-12 {
			t.Fatalf("share %g of a flow made from %g", got, share)
		}
		if Share(bore*1.1, q) > share || Share(bore, q*1.1) < share {
			t.Fatal("a wider stack is fuller, or more flow fills it less")
		}
	})
	if Share(100, 0) != 0 || Share(100, 1000) != 1 {
		t.Error("no flow fills nothing, and far too much fills all")
	}
}
