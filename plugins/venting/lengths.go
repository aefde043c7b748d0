package venting

import (
	"fallrule/plugins/course"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func (s *site) run(p *plan.Pipe) course.Run { return course.Of(*p, s.pathOf(p)) }

// lengthOf is the developed length of a segment.
func (s *site) lengthOf(p *plan.Pipe) (plan.Reading, *sdk.Gap) {
	l := s.run(p).Length()
	if l.Gap != nil {
		return plan.Reading{}, l.Gap
	}
	return l.Reading(), nil
}
