package hygiene

import (
	"slices"

	"fallrule/plugins/sdk/plan"
)

// cutsIn finds the links that a planned or done cut lies, or may lie, in: the
// one between its two ends, or those of one line that lead from the one to the
// other over what the cut's record leaves out.
func cutsIn(p *plan.Plan) map[string][]string {
	in := map[string][]string{}
	for _, c := range p.Cuts {
		if c.State == plan.Removed {
			continue
		}
		for _, id := range linksBetween(p.Links, c.Between) {
			in[id] = append(in[id], c.ID)
		}
	}
	return in
}

func linksBetween(links []plan.Link, ends [2]string) []string {
	var exact []string
	lines := map[string][]plan.Link{} // steps of a line, in the order of its path
	for _, l := range links {
		if l.A == ends[0] && l.B == ends[1] || l.A == ends[1] && l.B == ends[0] {
			exact = append(exact, l.ID)
		}
		if l.Line != "" {
			lines[l.Line] = append(lines[l.Line], l)
		}
	}
	if len(exact) > 0 {
		return exact
	}
	var out []string
	for _, steps := range lines {
		out = append(out, stepsBetween(steps, ends)...)
	}
	return out
}

// stepsBetween are the steps of a line that lead from one end to the other,
// either way; none where they are no chain that passes both.
func stepsBetween(steps []plan.Link, ends [2]string) []string {
	for _, e := range [][2]string{ends, {ends[1], ends[0]}} {
		first := slices.IndexFunc(steps, func(l plan.Link) bool { return l.A == e[0] })
		if first < 0 {
			continue
		}
		var ids []string
		at := e[0]
		for _, l := range steps[first:] {
			if l.A != at {
				break
			}
			ids, at = append(ids, l.ID), l.B
			if at == e[1] {
				return ids
			}
		}
	}
	return nil
}
