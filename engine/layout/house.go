package layout

import (
	"strconv"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/layout/stock"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

func line(at finding.Position) string { return strconv.Itoa(at.Line) }

// systems is the discharge system of EN 12056-2 that is usual in a country.
// France sizes by IV, grey water and WCs apart (NF DTU 60.11 P2 clause 5.1,
// read). The others are from memory: III in Britain and Ireland, I on the
// rest of the continent.
var systems = map[string]string{
	"gb": "iii", "ie": "iii",
	"de": "i", "fr": "iv", "es": "i", "it": "i", "at": "i", "ch": "i", "be": "i", "nl": "i",
}

// house reads what stands once at the top.
func (r *reader) house() {
	h, w := r.doc.Get("house"), r.doc.Get("work")
	r.plan.House = plan.House{
		Country: text(h.Get("country")), District: text(h.Get("district")), Home: text(h.Get("home")),
		Use: word(h.Get("use")), Owners: word(h.Get("owners")), Listed: word(h.Get("listed")),
		WasteGoesTo: word(h.Get("waste_goes_to")), RoofWater: word(h.Get("roof_water")),
		Work: word(w.Get("kind")), Stage: "planned", Notified: word(w.Get("notified")),
		Storeys:   r.read(h.Get("storeys"), quantity.Count, asTold, plan.Existing),
		Dwellings: r.read(h.Get("dwellings"), quantity.Count, asTold, plan.Existing),
		Built:     r.read(h.Get("built"), quantity.Year, asTold, plan.Existing),
		System:    system(word(h.Get("system")), text(h.Get("country"))),
	}
	if stage := text(w.Get("stage")); stage != "" {
		r.plan.House.Stage = stage
	}
	r.lay.Stage, r.lay.Title = r.plan.House.Stage, text(r.doc.Get("title"))
	r.lay.Revision = revision(r.doc.Get("revision"))
	r.lay.Date = dateOf(text(r.doc.Get("work").Get("date")), text(r.doc.Get("revision").Get("date")))
	if r.market == "" || r.market == unknown {
		r.market = r.plan.House.Country
	}
	if r.market == none {
		r.market = ""
	}
}

func system(told, country string) string {
	if told != unknown {
		return told
	}
	if s, found := systems[country]; found {
		return s
	}
	return unknown
}

// dateOf is the first of the dates that is told.
func dateOf(dates ...string) string {
	for _, d := range dates {
		if d != "" && d != unknown {
			return d
		}
	}
	return ""
}

// revision is what a sheet is filed against, in one line.
func revision(n *document.Node) string {
	line := text(n.Get("number"))
	if date := text(n.Get("date")); date != "" {
		line += ", " + date
	}
	if by := text(n.Get("by")); by != "" {
		line += ", by " + by
	}
	return line
}

// rooms reads rooms and floors; they exist unless told otherwise.
func (r *reader) rooms() {
	for _, p := range pairs(r.doc.Get("rooms")) {
		state := stateOf(p.Value, plan.Existing)
		r.plan.Rooms = append(r.plan.Rooms, plan.Room{
			ID: p.Key, State: state, Heated: word(p.Value.Get("heated")), Window: word(p.Value.Get("window")),
			Storey:  r.storey(p.Value.Get("storey")),
			Height:  r.sane(p.Value.Get("height"), r.length(p.Value.Get("height"), state), heightsOfRooms),
			DoorGap: r.gauge(p.Value.Get("door_gap"), state),
			Sides:   r.sides(p.Value.Get("size"), state),
		})
	}
	for _, p := range pairs(r.doc.Get("floors")) {
		state := stateOf(p.Value, plan.Existing)
		void := p.Value.Get("void")
		r.plan.Floors = append(r.plan.Floors, plan.Floor{
			ID: p.Key, State: state, Rooms: texts(p.Value.Get("rooms")),
			Boards: r.sane(p.Value.Get("boards"), r.gauge(p.Value.Get("boards"), state), boards),
			Clear:  r.length(void.Get("clear"), state), StoppedBy: text(void.Get("stopped_by")),
			Top: r.boardsTop(p.Value, state), MadeOf: word(p.Value.Get("made_of")),
		})
	}
}

// boardsTop is the level of the boards' top: told, or 0 where the mark that
// levels start from is said to lie on it. The boards may lie higher or lower
// than the mark by as much as they are out of level.
func (r *reader) boardsTop(n *document.Node, state plan.State) *plan.Reading {
	out, uneven := n.Get("out_of_level"), plan.Exactly(0)
	by := r.length(out, state)
	if by != nil {
		uneven = plan.Reading{Low: -by.High, High: by.High, How: by.How}
	}
	if top := r.level(n.Get("top"), state); top != nil {
		sum := top.Plus(uneven)
		sum.How = top.How
		return &sum
	}
	zero := strings.ToLower(text(n.Get("zero")))
	if by == nil && text(out) != none || !strings.Contains(zero, "boards' top") && !strings.Contains(zero, "top of the boards") {
		return nil
	}
	return &uneven
}

// storey is a whole number that may be negative, which a count may not.
func (r *reader) storey(n *document.Node) *plan.Reading {
	v, err := strconv.Atoi(text(n))
	if err != nil {
		return nil
	}
	storey := plan.Exactly(float64(v))
	return &storey
}

// size reads what is stamped or measured on a waste pipe and what the market's
// stock says about it. nil: nothing is known of the size.
func (r *reader) size(n *document.Node, madeOf string, state plan.State) *plan.Size {
	if n == nil {
		return nil
	}
	s := r.sizeTold(n, state)
	if s.Stamp != "" {
		r.fromStock(n, &s, madeOf, state)
	}
	return known(s)
}

// sizeTold is a size as the document tells it, without the stock.
func (r *reader) sizeTold(n *document.Node, state plan.State) plan.Size {
	s := plan.Size{Stamp: text(n), Market: r.market}
	if n != nil && n.Kind == document.Map {
		s.Stamp = text(n.Get("stamp"))
		if m := text(n.Get("market")); m != "" && m != unknown {
			s.Market = m
		}
		r.diameters(&s, n, state)
	}
	if s.Stamp == unknown || s.Stamp == none {
		s.Stamp = ""
	}
	return s
}

// diameters are what was measured across or round a pipe.
func (r *reader) diameters(s *plan.Size, n *document.Node, state plan.State) {
	if outer := r.gauge(n.Get("outer"), state); outer != nil {
		s.Outer = outer
	}
	if bore := r.gauge(n.Get("bore"), state); bore != nil {
		s.Bore = bore
	}
	if girth := r.gauge(n.Get("girth"), state); girth != nil && s.Outer == nil {
		outer := girth.Times(1 / pi)
		s.Outer, s.Source = &outer, "girth over π"
	}
	if s.Outer != nil || s.Bore != nil {
		s.Basis = string(finding.Read)
		if s.Source == "" {
			s.Source = "measured"
		}
	}
}

// known is a size of which something is known; nil otherwise.
func known(s plan.Size) *plan.Size {
	if s.Stamp == "" {
		s.Market = ""
		if s.Outer == nil && s.Bore == nil {
			return nil
		}
	}
	return &s
}

// fromStock fills in what was not measured. New pipe of no told material is
// taken as plastic; an old one keeps the wider band of "unknown".
func (r *reader) fromStock(n *document.Node, s *plan.Size, madeOf string, state plan.State) {
	if madeOf == unknown && (state == plan.New || state == plan.Laid) {
		madeOf = "plastic"
	}
	if s.Market == "" || s.Market == unknown {
		r.warn(n.At, "%s is stamped by a market, and neither `market` nor `house.country` names one: its bore is not known", quoted(s.Stamp))
		return
	}
	found, ok := stock.Find(s.Market, s.Stamp, madeOf)
	if !ok {
		r.notStocked(n, s)
		return
	}
	if s.Outer == nil && found.HasOuter() {
		s.Outer = &found.Outer
	}
	if s.Bore != nil {
		return
	}
	s.Bore = &found.Bore
	s.Source, s.Basis = found.Source, found.Basis
	if found.Market != "" {
		s.Market = found.Market
	}
}

func (r *reader) notStocked(n *document.Node, s *plan.Size) {
	if slip, found := stock.Slip(s.Market, s.Stamp); found {
		r.add(document.Fault{
			At: n.At, What: quoted(s.Stamp) + " is no size sold in market " + s.Market,
			Allowed: list(stock.Sizes(s.Market)), DidYouMean: slip,
		})
		return
	}
	f := document.Fault{
		At: n.At, What: quoted(s.Stamp) + " is no size in the stock table of market " + s.Market + ": its bore is not known; measure it, `size: { outer: …, bore: … }`",
		Allowed: list(stock.Sizes(s.Market)), Warning: true,
	}
	if f.Allowed == "" {
		f.What = "market " + s.Market + " has no stock table: the bore of " + quoted(s.Stamp) + " is not known; measure it, or write `market` in the size"
		f.Allowed = list(stock.Markets())
	}
	r.add(f)
}
