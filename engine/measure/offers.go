package measure

import (
	"fmt"
	"strings"
)

// refusal is why a quantity has no measurer though somebody offered it.
type refusal struct{ plugin, text string }

// settle decides who measures what. The bundled offer stands against a foreign
// one, else a foreign plugin could switch any measure off; between equals
// neither counts, since nothing tells which is right.
func (h *host) settle() {
	h.offers, h.refused = map[string]*measurer{}, map[string]refusal{}
	offered := map[string][]*measurer{}
	for _, g := range h.guests {
		for _, m := range g.measurers {
			h.sift(m, offered)
		}
	}
	for _, quantity := range h.cat.Names {
		if rivals := offered[quantity]; len(rivals) > 0 {
			h.choose(quantity, rivals)
		}
	}
}

// sift keeps the offers of one measurer that agree with the catalogue.
func (h *host) sift(m *measurer, offered map[string][]*measurer) {
	own := map[string]bool{}
	for _, q := range m.Description.Quantities {
		known, ok := h.cat.ByName[q.Name]
		switch {
		case !ok:
			m.note(fmt.Sprintf("offers %s, which the catalogue does not know", quote(q.Name)))
		case q.Unit != known.Unit:
			text := fmt.Sprintf("offers %s in %s, the catalogue has %s", q.Name, quote(q.Unit), quote(known.Unit))
			m.note(text)
			h.refused[q.Name] = refusal{m.label, fmt.Sprintf("plugin %s %s", m.label, text)}
		case own[q.Name]:
			m.note("offers " + q.Name + " twice")
		default:
			own[q.Name] = true
			offered[q.Name] = append(offered[q.Name], m)
		}
	}
}

func (h *host) choose(quantity string, rivals []*measurer) {
	bundled := rivals[:0:0]
	for _, m := range rivals {
		if m.guest.Bundled {
			bundled = append(bundled, m)
		}
	}
	switch {
	case len(rivals) == 1:
		h.stand(quantity, rivals[0])
	case len(bundled) == 1:
		h.stand(quantity, bundled[0])
		for _, m := range rivals {
			if m != bundled[0] {
				m.note(fmt.Sprintf("its offer of %s is refused: %s comes with the tool and measures it", quantity, bundled[0].label))
			}
		}
	default:
		if len(bundled) > 1 {
			rivals = bundled
		}
		h.clash(quantity, rivals)
	}
}

func (h *host) stand(quantity string, m *measurer) {
	h.offers[quantity] = m
	m.stands = append(m.stands, quantity)
}

func (h *host) clash(quantity string, rivals []*measurer) {
	var labels []string
	for _, m := range rivals {
		labels = append(labels, m.label)
	}
	who := strings.Join(labels, " and ")
	text := fmt.Sprintf("%s is offered by %s; neither counts", quantity, who)
	for _, m := range rivals {
		m.note(text)
	}
	h.refused[quantity] = refusal{who, text}
}

func (m *measurer) info() PluginInfo {
	return PluginInfo{
		Name: m.label, Version: m.Version, Path: m.guest.Path,
		Quantities: m.stands, Fault: strings.Join(m.notes, "; "),
	}
}
