package layout

import (
	"fallrule/engine/document"
	"fallrule/plugins/sdk/plan"
)

// stacks reads the vertical pipes.
func (r *reader) stacks() {
	for _, p := range pairs(r.doc.Get("stacks")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		s := plan.Stack{
			ID: p.Key, State: state, MadeOf: word(n.Get("made_of")), Place: word(n.Get("place")), Condition: word(n.Get("condition")),
			FootBend: word(n.Lookup("foot", "bend")), HasOffset: unknown,
		}
		size, sizeState := r.built(p.Key, n, "size", state)
		s.Size = r.size(size, s.MadeOf, sizeState)
		foot, footState := n.Lookup("foot", "level"), state
		if today := r.today[p.Key].Get("level"); today != nil {
			foot, footState = today, plan.Laid
		}
		s.Foot = r.level(foot, footState)
		switch o := n.Get("offset"); {
		case o != nil && o.Kind == document.Map:
			s.HasOffset, s.Offset = "offset", r.level(o.Get("level"), state)
		case o != nil:
			s.HasOffset = word(o)
		}
		if text(n.Get("serves_others")) == "others" {
			r.lay.others[s.ID] = true
		}
		if t := r.target(p.Key, n.Get("to"), state); t != nil {
			r.stackTo[s.ID] = t
		}
		r.stack[s.ID] = len(r.plan.Stacks)
		r.plan.Stacks = append(r.plan.Stacks, s)
	}
}
