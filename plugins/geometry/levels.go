package geometry

import (
	"fmt"

	"fallrule/plugins/course"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sizes"
)

func startCrown(_ *index, n *node) reply.Answer {
	return crown(n, course.Of(*n.pipe, n.path).StartLevel())
}

func endCrown(_ *index, n *node) reply.Answer {
	return crown(n, course.Of(*n.pipe, n.path).EndLevel())
}

// crown is the inside top over an invert.
func crown(n *node, invert reply.Answer) reply.Answer {
	if invert.Gap != nil {
		return invert
	}
	bore, gap := sizes.Bore(n.pipe.Size, n.path+".size", "the bore of "+n.path)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	top := invert.Reading().Plus(bore)
	return reply.Number(top, func() sdk.Working {
		numbers := fmt.Sprintf("%s + %s = %s", reply.Value(invert.Band.Value, "mm"), reply.Value(bore.Value, "mm"), reply.Reading(top, "mm"))
		return sdk.Working{Formula: "crown = level of the invert + bore", Numbers: numbers, Source: source}
	})
}
