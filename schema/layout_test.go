package schema

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func layoutSchema(t *testing.T) map[string]any {
	t.Helper()
	var s map[string]any
	if err := json.Unmarshal(Layout, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// at follows a pointer such as "$defs/trap/properties/kind".
func at(t *testing.T, s map[string]any, pointer string) map[string]any {
	t.Helper()
	for step := range strings.SplitSeq(pointer, "/") {
		next, ok := s[step].(map[string]any)
		if !ok {
			t.Fatalf("the schema has no %s (lost at %s)", pointer, step)
		}
		s = next
	}
	return s
}

// walk visits every object of the schema that is itself a schema; maps of
// schemas (properties, $defs) are entered, not visited.
func walk(s map[string]any, path string, visit func(path string, s map[string]any)) {
	visit(path, s)
	for key, value := range s {
		switch key {
		case "properties", "$defs":
			for name, sub := range value.(map[string]any) {
				walk(sub.(map[string]any), path+"/"+key+"/"+name, visit)
			}
		case "items", "additionalProperties", "propertyNames", "then":
			if sub, ok := value.(map[string]any); ok {
				walk(sub, path+"/"+key, visit)
			}
		}
	}
}

func isObject(s map[string]any) bool {
	switch kind := s["type"].(type) {
	case string:
		return kind == "object"
	case []any:
		return slices.Contains(kind, any("object"))
	}
	return s["properties"] != nil
}

// A misspelt key must be an error, never a fact that silently is not there.
func TestLayoutIsClosedEverywhere(t *testing.T) {
	objects := 0
	walk(layoutSchema(t), "", func(path string, s map[string]any) {
		if !isObject(s) {
			return
		}
		objects++
		rest := s["additionalProperties"]
		named, isMap := rest.(map[string]any)
		if rest != false && (!isMap || named["$ref"] == nil) {
			t.Errorf("%s: takes any key", path)
		}
		if isMap && s["propertyNames"] == nil {
			t.Errorf("%s: takes any name", path)
		}
	})
	if objects < 40 {
		t.Errorf("walked only %d objects: the walk lost its way", objects)
	}
}

// The description is what an editor shows while somebody types.
func TestLayoutDescribesEveryKey(t *testing.T) {
	walk(layoutSchema(t), "", func(path string, s map[string]any) {
		properties, _ := s["properties"].(map[string]any)
		for name, sub := range properties {
			says, _ := sub.(map[string]any)["description"].(string)
			if says == "" || strings.Contains(says, "\n") {
				t.Errorf("%s/%s: wants a description of one line", path, name)
			}
		}
	})
}

func TestLayoutReferencesResolve(t *testing.T) {
	s := layoutSchema(t)
	used := map[string]bool{}
	walk(s, "", func(path string, sub map[string]any) {
		if ref, ok := sub["$ref"].(string); ok {
			at(t, s, strings.TrimPrefix(ref, "#/"))
			used[strings.TrimPrefix(ref, "#/$defs/")] = true
		}
	})
	for name := range s["$defs"].(map[string]any) {
		if !used[name] {
			t.Errorf("$defs/%s is used nowhere", name)
		}
	}
}

// Some YAML readers make a boolean of each of these when nobody quotes it: no
// word and no key may be one.
func TestLayoutHasNoWordThatIsABoolean(t *testing.T) {
	booleans := []string{"yes", "no", "on", "off", "y", "n", "true", "false"}
	walk(layoutSchema(t), "", func(path string, s map[string]any) {
		for _, word := range words(s) {
			if slices.Contains(booleans, strings.ToLower(word)) {
				t.Errorf("%s: the word %s", path, word)
			}
		}
		properties, _ := s["properties"].(map[string]any)
		for name := range properties {
			if slices.Contains(booleans, strings.ToLower(name)) {
				t.Errorf("%s: the key %s", path, name)
			}
		}
	})
}

// A quantity says which dimension it has and shows how to write it.
func TestLayoutQuantitiesShowHowToWriteThem(t *testing.T) {
	dimensions := []string{"length", "size", "fall", "angle", "volume", "time", "flow", "pressure",
		"temperature", "area", "mass", "voltage", "count", "year", "tolerance", "bends"}
	seen := map[string]bool{}
	walk(layoutSchema(t), "", func(path string, s map[string]any) {
		dimension, ok := s["x-quantity"].(string)
		if !ok {
			return
		}
		seen[dimension] = true
		if !slices.Contains(dimensions, dimension) {
			t.Errorf("%s: no dimension %s", path, dimension)
		}
		if examples, _ := s["examples"].([]any); len(examples) == 0 {
			t.Errorf("%s: shows no example", path)
		}
	})
	for _, dimension := range dimensions {
		if !seen[dimension] {
			t.Errorf("no key has the dimension %s", dimension)
		}
	}
}

func words(s map[string]any) []string {
	list, _ := s["enum"].([]any)
	var out []string
	for _, word := range list {
		if text, ok := word.(string); ok {
			out = append(out, text)
		}
	}
	slices.Sort(out)
	return out
}

// layoutWords gives the closed words at a pointer, through references.
func layoutWords(t *testing.T, s map[string]any, pointer string) []string {
	t.Helper()
	sub := at(t, s, pointer)
	if then, ok := sub["then"].(map[string]any); ok {
		sub = then
	}
	if ref, ok := sub["$ref"].(string); ok {
		return layoutWords(t, s, strings.TrimPrefix(ref, "#/"))
	}
	return words(sub)
}

// The same fact has the same words in the document and in what a rule sees;
// what only the engine can say (mixed, none) the document leaves out.
func TestLayoutWordsAreThoseOfTheInput(t *testing.T) {
	var input map[string]any
	if err := json.Unmarshal(Input, &input); err != nil {
		t.Fatal(err)
	}
	s := layoutSchema(t)
	for pointer, other := range map[string]string{
		"$defs/state":                           "$defs/state",
		"$defs/place":                           "$defs/place",
		"$defs/serves_kind":                     "$defs/fixture/properties/kind",
		"$defs/fitted":                          "$defs/fixture/properties/plug",
		"$defs/fixture/properties/pumped":       "$defs/fixture/properties/pumped",
		"$defs/fixture/properties/use":          "$defs/fixture/properties/use",
		"$defs/pipe_made_of":                    "$defs/branch/properties/made_of",
		"$defs/vent/properties/kind":            "$defs/vent/properties/kind",
		"$defs/known":                           "$defs/vent/properties/known",
		"$defs/airs":                            "$defs/vent/properties/airs",
		"$defs/near_opening/properties/kind":    "$defs/terminal_opening/properties/opens",
		"$defs/joist/properties/member":         "$defs/joist/properties/member",
		"$defs/joist/properties/looks":          "$defs/joist/properties/looks",
		"$defs/opening/properties/shape":        "$defs/opening/properties/shape",
		"$defs/wall/properties/made_of":         "$defs/wall/properties/made_of",
		"$defs/room/properties/heated":          "$defs/room/properties/heated",
		"$defs/room/properties/window":          "$defs/room/properties/window",
		"properties/house/properties/use":       "$defs/building/properties/use",
		"properties/house/properties/owners":    "$defs/building/properties/owners",
		"properties/house/properties/listed":    "$defs/building/properties/listed",
		"properties/" + "work/properties/kind":  "$defs/building/properties/work",
		"properties/" + "work/properties/stage": "$defs/building/properties/stage",
	} {
		got := layoutWords(t, s, pointer)
		if len(got) == 0 {
			t.Errorf("%s: no closed words", pointer)
		}
		if want := words(at(t, input, other)); !slices.Equal(got, want) {
			t.Errorf("%s: words %v; a rule sees %v", pointer, got, want)
		}
	}
}

// The words in the comments of the flat plan are the contract between the
// resolver and the plugins; the document says the same ones.
func TestLayoutWordsAreThoseOfThePlan(t *testing.T) {
	plan := planWords(t)
	s := layoutSchema(t)
	for field, pointer := range map[string]string{
		"Fixture.Kind":      "$defs/serves_kind",
		"Fixture.Stub":      "$defs/waste/properties/stub_closed_by",
		"Trap.Kinds":        "$defs/trap_kind",
		"Trap.Reach":        "$defs/reach",
		"Trap.Cleaning":     "$defs/trap/properties/cleaning",
		"Pipe.MadeOf":       "$defs/pipe_made_of",
		"Pipe.Place":        "$defs/place",
		"Leg.Bubble":        "$defs/run/properties/bubble",
		"Junction.Swept":    "$defs/fitting/properties/swept",
		"Junction.Side":     "$defs/side",
		"Stack.FootBend":    "$defs/stack/properties/foot/properties/bend",
		"Stack.HasOffset":   "$defs/stack/properties/offset",
		"Stack.Condition":   "$defs/condition",
		"Vent.Ends":         "$defs/ends",
		"Vent.Roof":         "$defs/vent/properties/ends/properties/roof",
		"Vent.Cage":         "$defs/fitted",
		"Vent.Airs":         "$defs/airs",
		"Vent.Known":        "$defs/known",
		"House.Use":         "properties/house/properties/use",
		"House.RoofWater":   "properties/house/properties/roof_water",
		"House.System":      "properties/house/properties/system",
		"House.Work":        "properties/" + "work/properties/kind",
		"House.Stage":       "properties/" + "work/properties/stage",
		"House.Notified":    "properties/" + "work/properties/notified",
		"Joist.Member":      "$defs/joist/properties/member",
		"Joist.Looks":       "$defs/joist/properties/looks",
		"Opening.Shape":     "$defs/opening/properties/shape",
		"Wall.MadeOf":       "$defs/wall/properties/made_of",
		"House.WasteGoesTo": "properties/house/properties/waste_goes_to",
	} {
		got := slices.DeleteFunc(layoutWords(t, s, pointer), isUnknown)
		want := slices.DeleteFunc(slices.Clone(plan[field]), isUnknown)
		if len(want) == 0 || !slices.Equal(got, want) {
			t.Errorf("%s has the words %v; %s of the plan has %v", pointer, got, field, want)
		}
	}
}

func isUnknown(word string) bool { return word == "unknown" }

// planWords reads the lists "a | b | c" out of the plan's field comments.
func planWords(t *testing.T) map[string][]string {
	t.Helper()
	files, err := filepath.Glob("../plugins/sdk/plan/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files of the plan: %v", err)
	}
	out := map[string][]string{}
	for _, file := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			if spec, ok := n.(*ast.TypeSpec); ok {
				collectWords(spec, out)
			}
			return true
		})
	}
	return out
}

func collectWords(spec *ast.TypeSpec, out map[string][]string) {
	fields, ok := spec.Type.(*ast.StructType)
	if !ok {
		return
	}
	for _, field := range fields.Fields.List {
		if field.Comment == nil || len(field.Names) == 0 {
			continue
		}
		var list []string
		for i, part := range strings.Split(field.Comment.Text(), " | ") {
			if i == 0 { // prose before the list ends with a colon
				part = part[strings.LastIndex(part, ": ")+1:]
			}
			if w := strings.Fields(part); len(w) > 0 && w[0] != `""` {
				list = append(list, strings.Trim(w[0], ",;:"))
			}
		}
		if len(list) > 1 {
			slices.Sort(list)
			out[spec.Name.Name+"."+field.Names[0].Name] = list
		}
	}
}
