package measure

import (
	"context"
	"fmt"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// ask puts one request to each guest, side by side. A column belongs to one
// guest, so that no two write into the same.
func (h *host) ask(ctx context.Context, p *plan.Plan, o Options) {
	h.each(func(g *guest) {
		request := sdk.Request{Plan: p, Quantities: h.wantedOf(g), Working: o.Working}
		if len(request.Quantities) == 0 {
			return
		}
		answers, err := g.plugin.Measure(ctx, request)
		if err != nil {
			h.lose(g, err.Error())
			return
		}
		h.take(g, request, answers)
	})
}

func (h *host) wantedOf(g *guest) []string {
	var own []string
	for _, name := range h.wanted {
		if m, ok := h.offers[name]; ok && m.guest == g {
			own = append(own, name)
		}
	}
	return own
}

// lose gives up all quantities of a guest.
func (h *host) lose(g *guest, why string) {
	for _, m := range g.measurers {
		h.loseOne(m, why)
	}
}

func (h *host) loseOne(m *measurer, why string) {
	why = printable(why)
	m.note(why)
	for _, name := range m.stands {
		if c, wanted := h.columns[name]; wanted {
			c.spoil(m.label, fmt.Sprintf("plugin %s: %s", m.label, why))
		}
	}
}

// take checks a guest's answers one by one and keeps what can stand. Some too
// many are looked at, to name what is wrong; a flood is not.
func (h *host) take(g *guest, r sdk.Request, a sdk.Answers) {
	if got, due := len(a.Measurements)+len(a.Gaps), h.due(r); got > 2*due+16 {
		h.lose(g, fmt.Sprintf("measure: %d answers, %d were asked for", got, due))
		return
	}
	mine := map[string]*column{}
	for _, name := range r.Quantities {
		mine[name] = h.columns[name]
	}
	for i := range a.Measurements {
		m := &a.Measurements[i]
		h.answer(g, mine, m.Quantity, m.Subject, func(c *column, place int32) error {
			if err := checkMeasurement(h.cat.ByName[m.Quantity], *m); err != nil {
				return err
			}
			if !r.Working {
				m.Working = sdk.Working{}
			}
			c.measurement(place, *m)
			return nil
		})
	}
	for _, gap := range a.Gaps {
		h.answer(g, mine, gap.Quantity, gap.Subject, func(c *column, place int32) error {
			if err := checkGap(gap); err != nil {
				return err
			}
			c.gap(place, gap)
			return nil
		})
	}
	h.blame(g, a.Faults)
	h.missing(r)
}

// due is the number of answers of an honest plugin.
func (h *host) due(r sdk.Request) int {
	n := 0
	for _, name := range r.Quantities {
		n += len(h.columns[name].subjects.ids)
	}
	return n
}

// answer finds the place of one answer and keeps it there. One that cannot
// stand costs its quantity: who lies once about it is not believed elsewhere.
func (h *host) answer(g *guest, mine map[string]*column, quantity, subject string, keep func(*column, int32) error) {
	c, ok := mine[quantity]
	if !ok {
		// Nobody knows which of a guest's measurers it was.
		g.measurers[0].note(fmt.Sprintf("answers for %s, which it was not asked for", quote(quantity)))
		return
	}
	if c.fault != "" {
		return
	}
	place, known := c.subjects.place[subject]
	var err error
	switch {
	case !known:
		err = fmt.Errorf("an answer for %s, which is no subject of it", quote(subject))
	case c.answered(place):
		err = fmt.Errorf("a second answer for %s", quote(subject))
	default:
		if err = keep(c, place); err != nil {
			err = fmt.Errorf("for %s: %w", quote(subject), err)
		}
	}
	if err != nil {
		m := h.offers[quantity]
		text := fmt.Sprintf("gives %s %v", quantity, err)
		m.note(text)
		c.spoil(m.label, fmt.Sprintf("plugin %s %s", m.label, text))
	}
}

// blame takes the quantities of those measurers that told they are broken.
func (h *host) blame(g *guest, faults []sdk.Fault) {
	for _, f := range faults {
		text := "measure: " + f.Text
		named := false
		for _, m := range g.measurers {
			if m.Name == f.Measurer {
				named = true
				h.loseOne(m, text)
			}
		}
		if !named {
			h.lose(g, fmt.Sprintf("measure: a fault of %s, which it did not describe", quote(f.Measurer)))
			return
		}
	}
}

// missing names what got no answer; the column itself answers with the fault.
func (h *host) missing(r sdk.Request) {
	for _, name := range r.Quantities {
		c := h.columns[name]
		if c.fault != "" {
			continue
		}
		first, count := "", 0
		for place, id := range c.subjects.ids {
			if !c.answered(int32(place)) && !c.subjects.gone[place] {
				if count == 0 {
					first = id
				}
				count++
			}
		}
		if count > 0 {
			h.offers[name].note(fmt.Sprintf("gave no answer for %s of %s, %d in all", name, first, count))
		}
	}
}
