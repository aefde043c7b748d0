package records

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

// chance is how sure a thing is.
type chance int

const (
	unknown chance = iota // nobody told
	never
	perhaps // told as one of several
	surely
)

// seal tells how sure it is that a trap holds water. A trap whose seal, weir or
// size was read is one, even when nobody told its kind.
func seal(t plan.Trap) chance {
	if len(t.Kinds) == 0 || slices.Contains(t.Kinds, "unknown") {
		if t.Seal != nil || t.Weir != nil || t.Size != nil {
			return surely
		}
		return unknown
	}
	dry := slices.Contains(t.Kinds, "none")
	switch {
	case dry && len(t.Kinds) == 1:
		return never
	case dry:
		return perhaps
	}
	return surely
}

// trapOf tells how sure it is that a fixture has a trap by id. A fixture whose
// trap nobody wrote down, and one whose trap goes, has none known.
func (s *site) trapOf(f plan.Fixture) chance {
	t, told := s.traps[f.Trap]
	if !told || t.State == plan.Removed {
		return unknown
	}
	return seal(t)
}

// boxOf is the same of the trap box that its waste runs into; never without one.
func (s *site) boxOf(f plan.Fixture) chance {
	if f.Into == "" {
		return never
	}
	box, told := s.fixtures[f.Into]
	if !told || box.State == plan.Removed {
		return unknown
	}
	return s.trapOf(box)
}

func hasTrap(s *site, f plan.Fixture) reply.Answer {
	if f.Kind == "tap" {
		return reply.Answer{Gap: reply.Outside("a tap has no outlet and needs no trap")}
	}
	own, box := s.trapOf(f), s.boxOf(f)
	switch {
	case own == surely || box == surely:
		return reply.State("a trap of its own or a trap box", f.ID+".trap", "fitted")
	case own == unknown:
		return trapGap(f)
	case box == unknown:
		return reply.Answer{Gap: reply.NotTold(f.Into+".trap.kind", "whether trap box "+f.Into+" holds a seal is not told")}
	case own == never && box == never:
		return reply.State("no trap of its own and no trap box", f.ID+".trap", "none")
	}
	return reply.State("a trap of its own or a trap box", f.ID+".trap", "fitted", "none")
}

func trapGap(f plan.Fixture) reply.Answer {
	return reply.Answer{Gap: reply.NotTold(f.ID+".trap.kind", "whether fixture "+f.ID+" has a trap, and of what kind, is not told")}
}

// ownTrap is own before shared: a fixture with a trap of its own keeps it, even
// when its waste runs into a trap box.
func ownTrap(s *site, f plan.Fixture) reply.Answer {
	if f.Kind == "tap" {
		return reply.Answer{Gap: reply.Outside("a tap has no outlet and needs no trap")}
	}
	own, box := s.trapOf(f), s.boxOf(f)
	if own == unknown {
		return trapGap(f)
	}
	if own != surely && box == unknown {
		return reply.Answer{Gap: reply.NotTold(f.Into+".trap.kind", "whether trap box "+f.Into+" holds a seal is not told")}
	}
	var words []string
	if own != never {
		words = append(words, whose(s, f))
	}
	if own != surely && box != never && !slices.Contains(words, "shared") {
		words = append(words, "shared")
	}
	if own != surely && box != surely {
		words = append(words, "none")
	}
	return reply.State("whose trap the water passes", f.ID+".trap", words...)
}

// whose tells whether the fixture's trap stands under it or under another one.
func whose(s *site, f plan.Fixture) string {
	if under := s.traps[f.Trap].Fixture; under != "" && under != f.ID {
		return "shared"
	}
	return "own"
}

func overflow(_ *site, f plan.Fixture) reply.Answer {
	if f.Kind == "tap" {
		return reply.Answer{Gap: reply.Outside("a tap has no bowl that could overflow")}
	}
	return reply.Word("overflow", f.Overflow, f.ID+".overflow", "whether fixture "+f.ID+" has an overflow")
}

// stubClosed reads "undecided" as open: until somebody decides, nothing closes
// the stub. A fixture that stays leaves none.
func stubClosed(_ *site, f plan.Fixture) reply.Answer {
	path := f.ID + ".waste.stub_closed_by"
	switch {
	case f.State != plan.Removed:
		return reply.Answer{Gap: reply.Outside("fixture " + f.ID + " stays and leaves no stub")}
	case f.Stub == "undecided":
		return reply.State("nobody decided what closes it, so it is open", path, "open")
	}
	return reply.Word("stub_closed", f.Stub, path, "what closes the stub of fixture "+f.ID)
}

func flush(_ *site, f plan.Fixture) reply.Answer {
	if f.Kind != "wc" && f.Kind != "unknown" {
		return reply.Answer{Gap: reply.Outside("fixture " + f.ID + " is no water closet")}
	}
	return reply.AsRead(f.Flush, "l", f.ID+".flush", "the full flush of "+f.ID)
}

// basinWithWC looks for a washbasin in the water closet's room. The layout
// does not say which rooms open to each other, so a washbasin elsewhere on the
// storey leaves both words possible.
func basinWithWC(s *site, f plan.Fixture) reply.Answer {
	if f.Kind == "unknown" {
		return reply.Answer{Gap: reply.NotTold(f.ID+".kind", "what fixture "+f.ID+" is, is not told")}
	}
	if f.Kind != "wc" {
		return reply.Answer{Gap: reply.Outside("fixture " + f.ID + " is no water closet")}
	}
	if f.Room == "" || f.Room == "unknown" {
		return reply.Answer{Gap: reply.NotTold(f.ID+".room", "the room of water closet "+f.ID+" is not told")}
	}
	path, perhaps := f.ID+".room", false
	for _, b := range s.plan.Fixtures {
		if b.Kind != "washbasin" || b.State == plan.Removed {
			continue
		}
		if b.Room == f.Room {
			return reply.State("a washbasin in the same room: "+b.ID, path, "present")
		}
		perhaps = perhaps || s.mayAdjoin(b.Room, f.Room)
	}
	if perhaps {
		return reply.State("a washbasin stands in another room of the storey, which may open to this one", path, "present", "absent")
	}
	return reply.State("no washbasin in the room or near it", path, "absent")
}

// mayAdjoin is false only for rooms that surely lie on different storeys.
func (s *site) mayAdjoin(a, b string) bool {
	one, other := s.rooms[a].Storey, s.rooms[b].Storey
	return one == nil || other == nil || (one.Low <= other.High && other.Low <= one.High)
}
