// Package starter writes the first document for a set of fixtures: the few
// keys that give a first useful answer, each with a line that says how to read
// it with tape, level or phone. What the person must fill in is `unknown`.
package starter

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Options say what the starter is for.
type Options struct {
	// Country the house stands in and country whose rules its owner is used to,
	// two letters each; "" is unknown and none.
	Country, Home string
	// Fixtures by kind or trade name: "wc", "shower", "basin". A name may come
	// twice.
	Fixtures []string
	// Imperial shows readings in inches and feet.
	Imperial bool
	// Language of the comments: "en", or "" for it.
	Language string
	// Schema is where an editor finds the schema; "" is layout.schema.json
	// beside the document.
	Schema string
}

// Write writes the starter as YAML. It fails on an unknown kind of fixture,
// naming the nearest, on a language it has no texts in, and on a country that
// is not two letters.
func Write(w io.Writer, o Options) error {
	fixtures, err := resolve(o.Fixtures)
	if err != nil {
		return err
	}
	texts, err := textsOf(o.Language)
	if err != nil {
		return err
	}
	country, err := land(o.Country, "unknown")
	if err != nil {
		return err
	}
	home, err := land(o.Home, "none")
	if err != nil {
		return err
	}
	p := &page{texts: texts, system: "metric", said: map[string]string{}}
	if o.Imperial {
		p.system = "imperial"
	}
	p.head(o.Schema)
	p.house(country, home)
	p.readings(country)
	p.fixtures(fixtures)
	p.stack()
	if _, err := w.Write(p.out.Bytes()); err != nil {
		return fmt.Errorf("write the starter: %w", err)
	}
	return nil
}

var twoLetters = regexp.MustCompile(`^[a-z]{2}$`)

func land(text, otherwise string) (string, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	switch {
	case text == "":
		return otherwise, nil
	case !twoLetters.MatchString(text):
		return "", fmt.Errorf("write a starter: country %q; allowed: two letters, such as es, gb, de", text)
	}
	return text, nil
}

// page gathers the lines of the document.
type page struct {
	texts  texts
	system string
	out    bytes.Buffer
	said   map[string]string // comment's key -> where it was first said
}

func (p *page) line(indent int, format string, args ...any) {
	p.out.WriteString(strings.Repeat("  ", indent))
	fmt.Fprintf(&p.out, format, args...)
	p.out.WriteByte('\n')
}

// say writes the comment of a key, once in full and later as a reference to
// the place where it stands in full.
func (p *page) say(indent int, comment, place string) {
	if first, ok := p.said[comment]; ok {
		p.line(indent, "# %s", strings.ReplaceAll(p.texts.As, "{key}", first))
		return
	}
	p.said[comment] = place
	p.line(indent, "# %s", p.texts.of(comment, p.system))
}

// ask writes a key with its comment above it.
func (p *page) ask(indent int, comment, place, value string) {
	p.say(indent, comment, place)
	p.line(indent, "%s: %s", place[strings.LastIndex(place, ".")+1:], value)
}

func (p *page) head(where string) {
	if where == "" {
		where = "layout.schema.json"
	}
	p.line(0, "# yaml-language-server: $schema=%s", where)
	for _, text := range p.texts.Head {
		p.line(0, "# %s", p.texts.fill(text, p.system))
	}
	p.line(0, "\nlayout: 1")
}

func (p *page) house(country, home string) {
	p.line(0, "\nhouse:")
	p.ask(1, "house.country", "house.country", country)
	p.ask(1, "house.home", "house.home", home)
	p.ask(1, "house.storeys", "house.storeys", "unknown")
	p.ask(1, "house.waste_goes_to", "house.waste_goes_to", "unknown")
	p.line(0, "work:")
	p.ask(1, "work.kind", "work.kind", "unknown")
	p.ask(1, "work.notified", "work.notified", "unknown")
}

// honest are the tolerances of a careful amateur, the inch ones never finer.
// From experience, no source.
var honest = map[string][]struct{ key, value string }{
	"metric":   {{"existing", "± 10 mm"}, {"levels", "± 3 mm"}, {"planned", "± 5 mm"}},
	"imperial": {{"existing", "± 1/2 in"}, {"levels", "± 1/8 in"}, {"planned", "± 1/4 in"}},
}

func (p *page) readings(market string) {
	p.line(0, "")
	p.say(0, "readings", "readings")
	p.line(0, "readings:")
	for _, r := range honest[p.system] {
		p.line(1, "%s: %s  # %s", r.key, r.value, p.texts.of("readings."+r.key, p.system))
	}
	p.ask(0, "market", "market", market)
}

func (p *page) fixtures(list []fixture) {
	box := ""
	for _, f := range list {
		if f.kind == "trap_box" {
			box = f.id
		}
	}
	p.line(0, "\nfixtures:")
	for _, f := range list {
		p.line(1, "%s:", f.id)
		p.line(2, "kind: %s", f.kind)
		p.own(f)
		if f.kind == "tap" {
			continue
		}
		p.trap(f, box)
		p.waste(f, box)
	}
}

// own writes what only this kind of fixture is asked.
func (p *page) own(f fixture) {
	switch f.kind {
	case "wc", "urinal":
		p.ask(2, "flush", f.id+".flush", "unknown")
	case "washing_machine":
		p.ask(2, "load", f.id+".load", "unknown")
	case "floor_drain":
		p.ask(2, "use", f.id+".use", "unknown")
	case "tap":
		p.line(2, "cold:")
		p.ask(3, "cold.gap", f.id+".cold.gap", "unknown")
	}
}

// boxed are the fixtures that usually run into a trap box where there is one.
func boxed(kind string) bool {
	switch kind {
	case "washbasin", "bidet", "shower", "bath", "floor_drain":
		return true
	}
	return false
}

func (p *page) trap(f fixture, box string) {
	at := f.id + ".trap."
	if box != "" && boxed(f.kind) {
		p.say(2, "trap.none", f.id+".trap")
		p.line(2, "trap: none")
		return
	}
	p.line(2, "trap:")
	switch f.kind {
	case "wc":
		p.line(3, "built_in: true")
		p.ask(3, "trap.pan", at+"seal", "unknown")
		return
	case "trap_box":
		p.ask(3, "trap.seal", at+"seal", "unknown")
		return
	}
	p.ask(3, "trap.kind", at+"kind", "unknown")
	p.ask(3, "trap.size", at+"size", "unknown")
	p.ask(3, "trap.seal", at+"seal", "unknown")
	if f.kind == "shower" || f.kind == "bath" {
		p.ask(3, "trap.height", at+"height", "unknown")
	}
}

func (p *page) waste(f fixture, box string) {
	to := "main"
	if box != "" && boxed(f.kind) {
		to = box
	}
	p.say(2, "waste", f.id+".waste")
	p.line(2, "waste:")
	for _, key := range []string{"size", "length", "drop", "bends"} {
		p.ask(3, "waste."+key, f.id+".waste."+key, "unknown")
	}
	p.ask(3, "waste.to", f.id+".waste.to", to)
}

func (p *page) stack() {
	p.line(0, "")
	p.say(0, "stacks", "stacks")
	p.line(0, "stacks:")
	p.line(1, "main:")
	p.ask(2, "stack.size", "main.size", "unknown")
	p.ask(2, "stack.state", "main.state", "existing")
	p.ask(2, "stack.made_of", "main.made_of", "unknown")
	p.line(2, "foot:")
	p.ask(3, "stack.foot", "main.foot.level", "unknown")
}
