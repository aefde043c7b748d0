package ec5

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"go.yaml.in/yaml/v4"
)

type figures map[string]float64

type publishedRow struct {
	Of, Class, Source, Clause, Basis string
	In, Want                         figures
	Tolerance                        float64
}

// published works out each kind of row; names carry their units.
var published = map[string]func(publishedRow) figures{
	"factored": func(r publishedRow) figures {
		return figures{"v_N": Factored(r.In["g_N"], r.In["q_N"], r.In["gamma_g"], r.In["gamma_q"])}
	},
	"kv": func(r publishedRow) figures {
		return figures{"kv": Kv(r.In["kn"], r.In["h_mm"]/1000, r.In["left_mm"]/1000, r.In["x_mm"]/1000, r.In["taper"])}
	},
	"joist": func(r publishedRow) figures {
		q, l, s := r.In["load_kN_m2"]*1000*r.In["spacing_m"], r.In["span_m"], wholeOf(r)
		m, v := Moment(q, l, l/2), ShearFixed(q, l, 0)
		return figures{"m_kNm": m / 1000, "sigma_N_mm2": BendingStress(m, s) / mega, "v_kN": v / 1000, "tau_N_mm2": ShearStress(v, s, 1) / mega}
	},
	"lvl_strength": func(r publishedRow) figures {
		kh := KhLVL(r.In["h_mm"]/1000, r.In["s"])
		return figures{"kh": kh, "fmd_N_mm2": Design(kh*r.In["fmk_N_mm2"], r.In["kmod"], r.In["gamma_m"]), "fvd_N_mm2": Design(r.In["fvk_N_mm2"], r.In["kmod"], r.In["gamma_m"])}
	},
	"section": func(r publishedRow) figures {
		s := wholeOf(r)
		return figures{"w_mm3": s.W * 1e9, "i_mm4": s.I * 1e12, "ei_N_mm2": s.I * 1e12 * r.In["e_N_mm2"]}
	},
	"deflection": func(r publishedRow) figures {
		// A width and depth of 1 m make E and G the stiffnesses themselves.
		b := Beam{Span: r.In["span_m"], Section: Section{Width: 1, Depth: 1, I: 1}, E: r.In["ei_N_mm2"] / 1e6, G: r.In["ga_N"]}
		bending, shear := b.Deflection(r.In["load_kN_m2"] * 1000 * r.In["spacing_m"])
		return figures{"w_mm": (bending + shear) * 1000}
	},
	"frequency": func(r publishedRow) figures {
		return figures{"f1_Hz": Frequency(r.In["span_m"], r.In["stiffness_Nm2_m"], r.In["mass_kg_m2"])}
	},
	"force": func(r publishedRow) figures {
		return figures{"w_mm": 1000 * SagUnderForce(r.In["force_N"], r.In["span_m"], r.In["kd"], r.In["stiffness_Nm2_m"], r.In["spacing_m"])}
	},
	"hall": func(r publishedRow) figures {
		l, s := r.In["span_m"], wholeOf(r)
		m := Moment(r.In["q_d_kN_m"]*1000, l, l/2)
		w, _ := Beam{Span: l, Section: s, E: r.In["e_N_mm2"] * mega, G: 1}.Deflection(r.In["q_g_kN_m"] * 1000)
		return figures{"m_kNm": m / 1000, "sigma_N_mm2": BendingStress(m, s) / mega, "w_mm": w * 1000, "creep_mm": (Final(w, 0, r.In["kdef"], 0) - w) * 1000}
	},
	"notch": func(r publishedRow) figures {
		s, _ := EdgeNotch(1, 1, r.In["t"])
		return figures{"w_ratio": s.W * 6, "i_ratio": s.I * 12}
	},
	"hole": func(r publishedRow) figures {
		s, _ := Hole(1, 1, r.In["t"], 0)
		return figures{"w_ratio": s.W * 6, "i_ratio": s.I * 12}
	},
	"hole_forces": func(r publishedRow) figures {
		h, d := r.In["h_mm"]/1000, r.In["hd_mm"]/1000
		return figures{"ft90_N": HoleTension(r.In["v_N"], r.In["m_Nm"], h, d, r.In["hr_mm"]/1000), "ktau": HoleShearFactor(h, d, r.In["a_mm"]/1000)}
	},
	"solid_strength": func(r publishedRow) figures {
		c, _ := ClassOf(r.Class)
		return figures{"fmd_N_mm2": Design(c.Bending, r.In["kmod"], r.In["gamma_m"]) / mega, "fvd_N_mm2": Design(c.Shear, r.In["kmod"], r.In["gamma_m"]) / mega}
	},
	"class": func(r publishedRow) figures {
		c, _ := ClassOf(r.Class)
		return figures{"fmk_N_mm2": c.Bending / mega, "fvk_N_mm2": c.Shear / mega, "e_N_mm2": c.Stiffness / mega, "e05_N_mm2": c.StiffnessLow / mega, "g_N_mm2": c.ShearStiffness / mega, "rho_kg_m3": c.Heavier}
	},
}

func wholeOf(r publishedRow) Section { return Whole(r.In["b_mm"]/1000, r.In["h_mm"]/1000) }

// The sources stand beside the rows of testdata/published/timber/ec5.
func TestPublishedChecks(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/published/timber/ec5/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("find the published checks: %v, %d files", err, len(files))
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var f struct{ Rows []publishedRow }
		if err := yaml.Unmarshal(raw, &f); err != nil {
			t.Fatalf("read %s: %v", file, err)
		}
		compared, used := 0, map[string]bool{}
		for _, r := range f.Rows {
			compared += r.compare(t)
			used[r.Of] = true
		}
		t.Logf("%s: %d rows, %d figures compared", filepath.Base(file), len(f.Rows), compared)
		if compared == 0 {
			t.Errorf("%s has no figure", file)
		}
		for name := range published {
			if !used[name] {
				t.Errorf("%s: no row of %s", file, name)
			}
		}
	}
}

func (r publishedRow) compare(t *testing.T) int {
	t.Helper()
	work, known := published[r.Of]
	if !known || r.Source == "" || r.Basis == "" || len(r.Want) == 0 {
		t.Errorf("%s, %s: no such check, no source or no figure", r.Of, r.Clause)
		return 0
	}
	got := work(r)
	for name, want := range r.Want {
		if is, given := got[name]; !given || math.Abs(is-want) > r.Tolerance*math.Abs(want) {
			t.Errorf("%s, %s: %s is %g, %s prints %g", r.Of, r.Clause, name, is, r.Source, want)
		}
	}
	return len(r.Want)
}
