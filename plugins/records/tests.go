package records

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// kind is what a test was made of, in the document's word.
type kind string

// The tests that quantities of the catalogue are read off.
const (
	airTest       kind = "drains_air"
	waterTest     kind = "drains_water"
	dischargeTest kind = "discharge"
)

func (k kind) pressure(s *site) reply.Answer {
	return k.result(s, "pressure", "kPa", func(t plan.Test) *plan.Reading { return t.Pressure })
}

func (k kind) held(s *site) reply.Answer {
	return k.result(s, "held", "s", func(t plan.Test) *plan.Reading { return t.Held })
}

func (k kind) loss(s *site) reply.Answer {
	return k.result(s, "fell", "kPa", func(t plan.Test) *plan.Reading { return t.Fell })
}

func sealLeft(s *site) reply.Answer {
	return dischargeTest.result(s, "seal_left", "mm", func(t plan.Test) *plan.Reading { return t.SealLeft })
}

// result is one reading of the tests of a kind. When the test was made more
// than once the layout does not say which one stands, so the band spans all of
// them, about the first; one without the reading is a gap of its own.
func (k kind) result(s *site, field, unit string, of func(plan.Test) *plan.Reading) reply.Answer {
	var band *plan.Reading
	var numbers, paths []string
	for _, t := range s.plan.Tests {
		if t.What != string(k) {
			continue
		}
		path := "tests." + t.ID + "." + field
		got, gap := reply.Read(of(t), path, fmt.Sprintf("the reading %s of test %s", field, t.ID))
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if band == nil {
			band = &got
		}
		band.Low, band.High = math.Min(band.Low, got.Low), math.Max(band.High, got.High)
		numbers, paths = append(numbers, reply.Reading(got, unit)), append(paths, path)
	}
	if band == nil {
		return reply.Answer{Gap: reply.NotYet("tests."+string(k), fmt.Sprintf("the test %s is not made yet", k))}
	}
	return reply.Number(*band, func() sdk.Working {
		formula := "as read"
		if len(numbers) > 1 {
			formula = "all tests of the kind, least to greatest"
		}
		return sdk.Working{Formula: formula, Numbers: strings.Join(numbers, "; "), Source: strings.Join(paths, "; ")}
	})
}
