package measure

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Options of a run.
type Options struct {
	Working bool // keep how each figure was come by; costs memory
}

// Run starts the sources side by side, asks each for what it offers of the
// wanted quantities, and ends them. It has no error: whatever goes wrong is an
// answer of its own, finding.PluginFault, and stands in Measures.Plugins. A
// wanted quantity that the catalogue does not know is left out. When ctx ends,
// what has not answered by then is a fault.
func Run(ctx context.Context, p *plan.Plan, wanted []string, sources []Source, cat schema.Catalogue, o Options) Measures {
	h := start(ctx, sources, cat)
	defer h.close()
	h.prepare(p, wanted)
	h.ask(ctx, p, o)
	return Measures{Plugins: h.plugins(), columns: h.columns, wanted: h.wanted}
}

// Describe starts the sources, tells what they offer and what of it stands,
// and ends them.
func Describe(ctx context.Context, sources []Source, cat schema.Catalogue) []PluginInfo {
	h := start(ctx, sources, cat)
	defer h.close()
	return h.plugins()
}

// host is one run.
type host struct {
	cat     schema.Catalogue
	guests  []*guest
	offers  map[string]*measurer // by quantity: whose offer stands
	refused map[string]refusal   // by quantity: why an offer does not, when none does
	wanted  []string
	columns map[string]*column
}

// guest is one source, started or not.
type guest struct {
	Source
	plugin    sdk.Plugin
	measurers []*measurer
	broken    string // why nothing can be had from it
}

// measurer is one of those a guest described.
type measurer struct {
	sdk.Description
	guest   *guest
	label   string
	stands  []string // quantities whose offer stands
	notes   []string // what was wrong
	noteful map[string]bool
}

// note keeps one thing that was wrong, once, and not without end.
func (m *measurer) note(text string) {
	const most = 20
	if m.noteful[text] || len(m.notes) > most {
		return
	}
	if m.noteful == nil {
		m.noteful = map[string]bool{}
	}
	m.noteful[text] = true
	if len(m.notes) == most {
		text = "and more"
	}
	m.notes = append(m.notes, text)
}

func start(ctx context.Context, sources []Source, cat schema.Catalogue) *host {
	h := &host{cat: cat}
	for _, s := range sources {
		h.guests = append(h.guests, &guest{Source: s})
	}
	slices.SortStableFunc(h.guests, func(a, b *guest) int { return rank(a) - rank(b) })
	h.each(func(g *guest) { g.start(ctx) })
	h.settle()
	return h
}

func rank(g *guest) int {
	if g.Bundled {
		return 0
	}
	return 1
}

// each runs f for all guests side by side and waits.
func (h *host) each(f func(*guest)) {
	var wait sync.WaitGroup
	for _, g := range h.guests {
		wait.Go(func() { f(g) })
	}
	wait.Wait()
}

func (h *host) close() {
	h.each(func(g *guest) {
		if g.plugin != nil {
			_ = g.plugin.Close()
		}
	})
}

// start brings a guest to the point where it has said what it offers.
func (g *guest) start(ctx context.Context) {
	plugin, err := g.Start(ctx)
	if err != nil {
		g.broken = printable(err.Error())
		return
	}
	g.plugin = plugin
	list, err := plugin.Describe(ctx)
	if err == nil {
		err = checkDescriptions(list)
	}
	if err != nil {
		g.broken = printable(err.Error())
		return
	}
	for _, d := range list {
		g.measurers = append(g.measurers, &measurer{Description: d, guest: g, label: g.labelOf(d.Name)})
	}
}

// labelOf is how a measurer is named to the reader. A foreign one carries the
// name it was configured under, so that it cannot pass for another.
func (g *guest) labelOf(measurer string) string {
	if g.Bundled || measurer == g.Name {
		return measurer
	}
	return g.Name + "/" + measurer
}

func checkDescriptions(list []sdk.Description) error {
	const most = 64
	if len(list) == 0 || len(list) > most {
		return fmt.Errorf("it describes %d measurers", len(list))
	}
	names := map[string]bool{}
	for _, d := range list {
		if err := checkDescription(d); err != nil {
			return err
		}
		if names[d.Name] {
			return fmt.Errorf("it describes two measurers named %s", d.Name)
		}
		names[d.Name] = true
	}
	return nil
}

// prepare makes an empty column for each wanted quantity, or a spoiled one
// when nobody answers for it.
func (h *host) prepare(p *plan.Plan, wanted []string) {
	h.columns = map[string]*column{}
	subjects := &indexes{kinds: subjectsOf(p), gone: removedOf(p)}
	for _, name := range wanted {
		q, known := h.cat.ByName[name]
		if _, twice := h.columns[name]; twice || !known {
			continue
		}
		c := &column{subjects: subjects.of(q), unit: q.Unit}
		h.columns[name] = c
		h.wanted = append(h.wanted, name)
		if m, ok := h.offers[name]; ok {
			c.plugin = m.label
		} else {
			c.spoil(h.nobody(name))
		}
	}
}

// nobody tells why nobody measures a quantity, and whose fault that may be.
func (h *host) nobody(quantity string) (plugin, text string) {
	if r, ok := h.refused[quantity]; ok {
		return r.plugin, r.text
	}
	text = "no plugin measures " + quantity
	for _, g := range h.guests {
		if g.broken != "" {
			return g.Name, fmt.Sprintf("%s; plugin %s failed: %s", text, g.Name, g.broken)
		}
	}
	return "", text
}

func (h *host) plugins() []PluginInfo {
	var list []PluginInfo
	for _, g := range h.guests {
		if len(g.measurers) == 0 {
			list = append(list, PluginInfo{Name: g.Name, Path: g.Path, Fault: g.broken})
		}
		for _, m := range g.measurers {
			list = append(list, m.info())
		}
	}
	return list
}
