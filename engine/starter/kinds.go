package starter

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"fallrule/engine/document/nearest"
	"fallrule/schema"
)

// trade are the names that people of the trade and of the house use for the
// kinds of the format.
var trade = map[string]string{
	"basin": "washbasin", "handbasin": "washbasin", "lavatory": "washbasin",
	"toilet": "wc", "pan": "wc", "closet": "wc",
	"sink": "kitchen_sink", "tub": "bath", "bathtub": "bath", "tray": "shower",
	"washer": "washing_machine", "gully": "floor_drain", "box": "trap_box",
	"laundry": "laundry_tub",
}

// kinds are the kinds of the format, read from its schema so that there is no
// second list.
var kinds = sync.OnceValues(func() ([]string, error) {
	var s struct {
		Defs struct {
			Kind struct{ Enum []string } `json:"serves_kind"`
		} `json:"$defs"`
	}
	if err := json.Unmarshal(schema.Layout, &s); err != nil {
		return nil, fmt.Errorf("read the kinds of fixture from the schema: %w", err)
	}
	if len(s.Defs.Kind.Enum) == 0 {
		return nil, errors.New("read the kinds of fixture from the schema: it lists none")
	}
	return slices.DeleteFunc(s.Defs.Kind.Enum, func(kind string) bool { return kind == "unknown" }), nil
})

// fixture is one fixture to write: the name the person gave and its kind.
type fixture struct{ id, kind string }

// resolve finds the kind of each name and gives each an id of its own: the
// second "basin" is basin_2.
func resolve(names []string) ([]fixture, error) {
	known, err := kinds()
	if err != nil {
		return nil, err
	}
	var fixtures []fixture
	taken := map[string]bool{}
	for _, name := range names {
		id := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(name)))
		if id == "" {
			continue
		}
		kind := id
		if of, ok := trade[id]; ok {
			kind = of
		}
		if !slices.Contains(known, kind) {
			return nil, unknownKind(name, known)
		}
		free := id
		for n := 2; taken[free]; n++ {
			free = fmt.Sprintf("%s_%d", id, n)
		}
		taken[free] = true
		fixtures = append(fixtures, fixture{free, kind})
	}
	if len(fixtures) == 0 {
		return nil, fmt.Errorf("write a starter: no fixture is named; allowed: %s", strings.Join(known, ", "))
	}
	return fixtures, nil
}

func unknownKind(name string, known []string) error {
	words := append(slices.Clone(known), slices.Sorted(maps.Keys(trade))...)
	text := fmt.Sprintf("write a starter: no kind of fixture is called %q; allowed: %s", name, strings.Join(known, ", "))
	if near := nearest.Word(name, words); near != "" {
		text += fmt.Sprintf("; did you mean %s?", near)
	}
	return errors.New(text)
}
