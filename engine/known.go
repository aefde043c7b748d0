package engine

import (
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
)

// knowledge is all that is known of a layout's subjects: what plugins
// measured, what the document answers to a profile's questions, and what the
// profiles derive of two measures.
type knowledge struct {
	set      *profile.Set
	measures measure.Measures
	lay      *layout.Layout
}

// of gives what is known of a subject in the quantities that a requirement
// names.
func (k knowledge) of(r finding.Requirement) map[string]finding.Measured {
	out := map[string]finding.Measured{}
	kind := k.lay.Kind(r.Of)
	for _, name := range k.set.Needed(r.Rule) {
		if q, known := k.set.Catalogue().ByName[name]; known && slices.Contains(q.Of, kind) {
			if m, found := k.one(name, r.Of); found {
				out[name] = m
			}
		}
	}
	return k.set.Derive(kind, out)
}

func (k knowledge) one(name, subject string) (finding.Measured, bool) {
	if strings.HasPrefix(name, "answer.") {
		return k.answer(name, subject), true
	}
	return k.measures.Of(name, subject)
}

// answer looks a profile's question up in the document's `answers`.
func (k knowledge) answer(name, subject string) finding.Measured {
	question := strings.TrimPrefix(name, "answer.")
	q := k.set.Catalogue().ByName[name]
	needs := "answers." + question
	said, found := k.lay.Answer(question, subject)
	switch {
	case !found || said == "unknown":
		return finding.Measured{Because: finding.NotAsked, Needs: needs, Text: q.Says + " Answer " + strings.Join(q.Words, " or ")}
	case !slices.Contains(q.Words, said):
		return finding.Measured{Because: finding.NotAsked, Needs: needs, Text: "answered " + said + ", and the words are " + strings.Join(q.Words, ", ")}
	}
	return finding.Measured{States: []string{said}, Working: finding.Working{Formula: "answer", Numbers: said, Source: "the document's answers"}}
}
