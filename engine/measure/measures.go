package measure

import (
	"fmt"
	"iter"

	"fallrule/engine/finding"
	"fallrule/plugins/sdk"
)

// Measures is what is known of every subject in every quantity that was
// wanted. The same plan and plugins give the same Measures.
type Measures struct {
	// Plugins lists all measurers, the bundled ones first, then in the order
	// of the sources; a plugin that never told what it is stands by its
	// source's name.
	Plugins []PluginInfo

	columns map[string]*column
	wanted  []string
}

// PluginInfo is one measurer.
type PluginInfo struct {
	Name       string
	Version    string
	Path       string // empty: part of this program
	Quantities []string
	Fault      string // what was wrong, several joined by "; "
}

// Key is one quantity of one subject.
type Key struct{ Quantity, Subject string }

// Of is what is known of a quantity of a subject; false when it was not wanted
// or the subject has no such quantity.
func (m Measures) Of(quantity, subject string) (finding.Measured, bool) {
	c, ok := m.columns[quantity]
	if !ok {
		return finding.Measured{}, false
	}
	place, ok := c.subjects.place[subject]
	if !ok {
		return finding.Measured{}, false
	}
	return c.at(place), true
}

// All goes through everything: quantities as wanted, subjects as the plan has
// them, without those that the work takes away.
func (m Measures) All() iter.Seq2[Key, finding.Measured] {
	return func(yield func(Key, finding.Measured) bool) {
		for _, quantity := range m.wanted {
			c := m.columns[quantity]
			for place, id := range c.subjects.ids {
				if c.subjects.gone[place] && !c.answered(int32(place)) {
					continue
				}
				if !yield(Key{quantity, id}, c.at(int32(place))) {
					return
				}
			}
		}
	}
}

// column is one quantity of all its subjects. A band takes 28 bytes in it, a
// sixth of a finding.Measured, which is made when asked for.
type column struct {
	subjects *index
	unit     string // of the bands
	plugin   string // who answers, "" when nobody
	fault    string // when set, it stands for every answer
	slots    []int32
	bands    []finding.Band
	others   []finding.Measured
}

// at composes the answer. A slot is 0 for none, n for bands[n-1], -n for
// others[n-1].
func (c *column) at(place int32) finding.Measured {
	switch {
	case c.fault != "":
		return finding.Measured{Because: finding.PluginFault, Plugin: c.plugin, Text: c.fault}
	case !c.answered(place) && c.subjects.gone[place]:
		return finding.Measured{Because: finding.NotMeasured, Text: "taken away by this work"}
	case !c.answered(place):
		return finding.Measured{Because: finding.PluginFault, Plugin: c.plugin, Text: fmt.Sprintf("plugin %s gave no answer", c.plugin)}
	case c.slots[place] > 0:
		return finding.Measured{Unit: c.unit, Band: &c.bands[c.slots[place]-1], Plugin: c.plugin}
	}
	return c.others[-c.slots[place]-1]
}

func (c *column) answered(place int32) bool { return c.slots != nil && c.slots[place] != 0 }

func (c *column) slot(place int32) *int32 {
	if c.slots == nil {
		c.slots = make([]int32, len(c.subjects.ids))
	}
	return &c.slots[place]
}

// measurement keeps one that was checked.
func (c *column) measurement(place int32, m sdk.Measurement) {
	slot := c.slot(place)
	if m.Band != nil && m.Working == (sdk.Working{}) {
		c.bands = append(c.bands, finding.Band(*m.Band))
		*slot = int32(len(c.bands))
		return
	}
	kept := finding.Measured{States: m.States, Working: finding.Working(m.Working), Plugin: c.plugin}
	if m.Band != nil {
		band := finding.Band(*m.Band)
		kept.Band, kept.Unit = &band, c.unit
	}
	c.others = append(c.others, kept)
	*slot = -int32(len(c.others))
}

// gap keeps one that was checked. The words of the reasons are the same on
// both sides.
func (c *column) gap(place int32, g sdk.Gap) {
	c.others = append(c.others, finding.Measured{
		Because: finding.Because(g.Because), Needs: g.Needs, Text: g.Text, Plugin: c.plugin,
	})
	*c.slot(place) = -int32(len(c.others))
}

// spoil gives every subject of the quantity the same fault and forgets what
// was kept.
func (c *column) spoil(plugin, fault string) {
	c.plugin, c.fault = plugin, fault
	c.slots, c.bands, c.others = nil, nil, nil
}
