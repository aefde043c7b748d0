package plan

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
)

// What is no subject crosses the wire like the rest, on the top level.
func TestNotesCrossTheWire(t *testing.T) {
	length := PlusMinus(3000, 20, Taped)
	var p Plan
	p.Lines = []Line{{ID: "c1", State: Existing, Steps: []string{"c1/1", "c1/2"}, Length: &length, Bends: []Bend{}}}
	p.Cuts = []Cut{{ID: "x1", State: New, Between: [2]string{"meter", "k1"}, Then: "cap", Stump: &length}}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{`"lines":[{"id":"c1"`, `"cuts":[{"id":"x1"`} {
		if !strings.Contains(string(text), key) {
			t.Errorf("%s is not in %s", key, text)
		}
	}
	if strings.Contains(string(text), "Notes") {
		t.Errorf("the notes are a level of their own in %s", text)
	}
	var back Plan
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(p, back) {
		t.Errorf("%v: sent %+v, got %+v", err, p.Notes, back.Notes)
	}
}
