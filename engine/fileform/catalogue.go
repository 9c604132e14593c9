package fileform

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/quantity"
)

// CheckCatalogue looks for values that contradict each other or cannot be:
// every one of them would later show as a mark in the wrong place or a piece
// that cannot be cut. It judges no physics beyond that. src gives the places;
// it may be nil.
func CheckCatalogue(f *catalogue.File, src *Source) []Problem {
	c := newChecker(src, f.Units == "inch")
	c.signs(reflect.ValueOf(f), "")
	if len(f.Systems) == 0 && f.Shop == nil {
		c.refuse("", "empty-file", "the catalogue holds neither a system nor a shop", "systems, shop or both")
	}
	var names []string
	for i := range f.Systems {
		names = append(names, f.Systems[i].Name)
		c.system(&f.Systems[i], fmt.Sprintf("systems[%d]", i))
	}
	c.unique(names, "systems", "name")
	if f.Shop != nil {
		c.shop(f.Shop, f.Systems)
	}
	return c.done()
}

// checker collects problems of values that were read correctly one by one.
type checker struct {
	list
	src  *Source
	tape length.Tape
}

func newChecker(src *Source, inches bool) *checker {
	c := &checker{src: src, tape: length.Tape{Tick: length.Millimetre / 100}}
	if inches {
		c.tape = length.Tape{Tick: length.Inch64th, Inches: true, Feet: true}
	}
	if src != nil {
		c.file = src.File
	}
	return c
}

func (c *checker) problem(path, code, msg, want string, note bool) {
	at := c.src.At(path)
	c.add(Problem{Line: at.Line, Column: at.Column, Path: path, Code: code, Message: msg, Want: want, Note: note})
}

func (c *checker) refuse(path, code, msg, want string) { c.problem(path, code, msg, want, false) }
func (c *checker) note(path, code, msg, want string)   { c.problem(path, code, msg, want, true) }

// show writes a length for a person; what the tape cannot show is written exactly.
func (c *checker) show(l length.Length) string {
	if l%c.tape.Tick != 0 || !c.tape.Inches {
		return length.Exact(l)
	}
	return c.tape.Format(l, length.Nearest)
}

// signs refuses every negative value; only temperatures may lie below zero.
func (c *checker) signs(v reflect.Value, path string) {
	switch t := v.Type(); {
	case t == reflect.TypeFor[quantity.Temperature]():
	case t == amountType:
		if a, ok := v.Interface().(interface{ Negative() bool }); ok && a.Negative() {
			c.refuse(path, "negative", "the amount is negative", "zero or more")
		}
	case v.Kind() == reflect.Pointer && !v.IsNil():
		c.signs(v.Elem(), path)
	case v.Kind() == reflect.Struct && !isText(t):
		for _, f := range fields(t) {
			c.signs(v.Field(f.index), join(path, f.key))
		}
	case v.Kind() == reflect.Slice:
		for i := 0; i < v.Len(); i++ {
			c.signs(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	case v.CanInt() && v.Int() < 0, v.CanFloat() && v.Float() < 0:
		c.refuse(path, "negative", "the value is negative", "zero or more")
	}
}

// positive refuses a zero; negatives were refused before.
func (c *checker) positive(path string, what string, isZero bool) {
	if isZero {
		c.refuse(path, "zero", what+" is zero", "more than zero")
	}
}

func (c *checker) unique(names []string, path, key string) {
	first := map[string]int{}
	for i, n := range names {
		if at, dup := first[n]; dup {
			c.refuse(fmt.Sprintf("%s[%d].%s", path, i, key), "duplicate-name", fmt.Sprintf("%s already names %s[%d]", quote(n), path, at), "a name of its own for each")
			continue
		}
		first[n] = i
	}
}

// atMost refuses a > b. Both are given with the words that name them.
func (c *checker) atMost(path string, a length.Length, aWhat string, b length.Length, bWhat, why string) {
	if a > b {
		c.refuse(path, "contradiction", fmt.Sprintf("%s (%s) is more than %s (%s): %s", aWhat, c.show(a), bWhat, c.show(b), why), "at most "+c.show(b))
	}
}

func (c *checker) system(s *catalogue.System, path string) {
	c.panel(&s.Panel, path+".panel")
	c.rules(s, path+".rules")
	c.clip(s, path+".clip")
	c.channel(s, path+".channel")
	c.closure(s, path+".closure")
	c.screw(&s.ClipScrew, path+".clip_screw")
	c.screw(&s.ChannelScrew, path+".channel_screw")
	c.pack(&s.Plug, path+".plug")
	c.positive(path+".breather_tape.roll", "the roll", s.BreatherTape.Length == 0)
	c.positive(path+".seal_tape.roll", "the roll", s.SealTape.Length == 0)
	c.positive(path+".longest_delivery", "the longest delivery", s.LongestDelivery == 0)
	c.stock(s.Sheets, path+".sheets", s.LongestDelivery)
	c.stock(s.Cap.Stock, path+".cap.stock", s.LongestDelivery)
	c.stock(s.Channel.Stock, path+".channel.stock", s.LongestDelivery)
	c.stock(s.Closure.Stock, path+".closure.stock", s.LongestDelivery)
	var tints []string
	for i, t := range s.Tints {
		tints = append(tints, t.Name)
		if t.Light > 1 {
			c.refuse(fmt.Sprintf("%s.tints[%d].light", path, i), "contradiction", "more light comes through than falls on the panel", "at most 100 %")
		}
	}
	c.unique(tints, path+".tints", "name")
	for i, r := range s.Panel.Ratings {
		at := fmt.Sprintf("%s.panel.ratings[%d]", path, i)
		c.positive(at+".value", "the rated pressure", r.Value == 0)
		c.positive(at+".purlin_spacing", "the tested spacing", r.Spacing == 0)
		c.factor(at, r.Factor, r.Basis)
		if r.Clip != s.Clip.Name {
			c.note(at+".clip", "other-clip", fmt.Sprintf("the rating was tested with %s, the system is sold with %s: it will not count", quote(r.Clip), quote(s.Clip.Name)), "")
		}
	}
}

func (c *checker) panel(p *catalogue.Panel, path string) {
	for _, x := range []struct {
		key string
		l   length.Length
	}{{"cover_width", p.Cover}, {"overall_width", p.Overall}, {"trimmed_width", p.VergeWidth}, {"upstand", p.Upstand}, {"depth", p.Depth}, {"flute_pitch", p.FlutePitch}} {
		c.positive(path+"."+x.key, x.key, x.l == 0)
	}
	c.positive(path+".mass", "the mass", p.Mass == 0)
	c.positive(path+".expansion", "the expansion", p.Expansion == 0)
	c.atMost(path+".overall_width", p.Cover, "the cover width", p.Overall, "the overall width", "the widest width cannot be less than the width covered")
	c.atMost(path+".trimmed_width", p.VergeWidth, "the trimmed width", p.Cover, "the cover width", "trimming an upstand off cannot make a panel wider")
	c.atMost(path+".flute_pitch", p.FlutePitch, "the flute pitch", p.Cover, "the cover width", "a panel holds many flutes")
	if p.Walls < 2 || p.Walls > 9 {
		c.refuse(path+".walls", "range", fmt.Sprintf("a multiwall panel has no %d walls", p.Walls), "2 for twin-wall, 3 for triple-wall, up to 9")
	}
	if p.Poisson > 0.5 {
		c.refuse(path+".poisson", "range", "Poisson's ratio cannot be more than 0.5", "about 0.37 for polycarbonate")
	}
	declared := 0
	for _, x := range []bool{p.BendingAlong > 0, p.BendingAcross > 0, p.ShearAcross > 0} {
		if x {
			declared++
		}
	}
	if declared == 1 || declared == 2 {
		c.refuse(path, "incomplete", "declared stiffness is given in part", "bending_along, bending_across and shear_across, all three or none")
	}
	c.walls(p, path)
}

// pcDensity is the density of polycarbonate, kg/m³ (generic handbook value,
// from memory).
const pcDensity = 1200

// walls compares wall thicknesses with depth, pitch and mass.
func (c *checker) walls(p *catalogue.Panel, path string) {
	if p.OuterWall == 0 && p.MiddleWall == 0 && p.Rib == 0 {
		return
	}
	if p.OuterWall == 0 || p.Rib == 0 || (p.Walls == 3) != (p.MiddleWall > 0) {
		c.refuse(path, "incomplete", "wall thicknesses are given in part", "outer_wall and rib, middle_wall for a triple-wall panel, or none of them")
		return
	}
	skins := 2*p.OuterWall + p.MiddleWall
	if skins >= p.Depth || p.Rib >= p.FlutePitch {
		c.refuse(path, "contradiction", "the walls leave no hollow inside the panel", "walls thinner than the depth, ribs thinner than their pitch")
		return
	}
	if computed, off := WallMass(p); p.Mass > 0 && p.Walls <= 3 && math.Abs(off) > 0.15 {
		c.note(path+".mass", "mass", fmt.Sprintf("the walls weigh %.2f kg/m2, %.0f %% off the mass given; stiffness computed from the walls may be off too", computed, 100*off), "mass and wall thicknesses of the same panel")
	}
}

// WallMass returns the mass per area in kg/m² of a twin- or triple-wall panel
// computed from its walls and ribs, at 1200 kg/m³, and how far that lies from
// the mass declared, as a share of it. Upstands are left out.
func WallMass(p *catalogue.Panel) (computed, off float64) {
	skins := 2*p.OuterWall + p.MiddleWall
	area := skins.MM() + (p.Depth-skins).MM()*p.Rib.MM()/p.FlutePitch.MM() // mm² per mm of width
	computed = pcDensity * area / 1000
	return computed, computed/float64(p.Mass) - 1
}

func (c *checker) rules(s *catalogue.System, path string) {
	r := &s.Rules
	c.positive(path+".widest_support_spacing", "the widest spacing", r.WidestSpacing == 0)
	c.positive(path+".least_rip", "the least rip", r.LeastRip == 0)
	if r.RefusedSlope > r.LeastSlope {
		c.refuse(path+".refused_slope", "contradiction", fmt.Sprintf("roofs under %.1f deg are refused but warned of only under %.1f deg", r.RefusedSlope.Degrees(), r.LeastSlope.Degrees()), "refused_slope at most least_slope")
	}
	c.atMost(path+".drip", r.Drip, "the drip", r.LongestFreeEnd, "the longest free end", "the drip is part of the free end")
	c.atMost(path+".least_rip", r.LeastRip, "the least rip", s.Panel.VergeWidth, "the trimmed width", "no panel at a verge would do")
	c.atMost(path+".least_rip", s.Channel.Grip, "the grip of the channel", r.LeastRip, "the least rip", "such a strip would vanish in the channel")
	c.atMost(path+".longest_free_end", r.LongestFreeEnd, "the longest free end", r.WidestSpacing, "the widest support spacing", "an end held on one side cannot reach farther than one held on both")
}

func (c *checker) clip(s *catalogue.System, path string) {
	k := &s.Clip
	c.positive(path+".web", "the web", k.Web == 0)
	c.positive(path+".hole_offset", "the hole offset", k.HoleOffset == 0)
	c.atMost(path+".web", k.Web, "the web", s.Panel.Joint, "the joint", "the web stands inside the joint")
	if k.FlangeWidth > 0 {
		c.atMost(path+".hole_offset", k.HoleOffset, "the hole offset", k.FlangeWidth, "the flange width", "the holes are in the flange")
	}
	if k.Holes < 1 {
		c.refuse(path+".holes", "range", "the clip has no screw hole", "1 or more")
	}
	if k.ScrewsUsed < 1 || k.ScrewsUsed > k.Holes {
		c.refuse(path+".screws_used", "contradiction", fmt.Sprintf("%d screws go into %d holes", k.ScrewsUsed, k.Holes), fmt.Sprintf("1 to %d", max(1, k.Holes)))
	}
	c.pack(&k.Pack, path+".pack")
	c.capacities(k.Capacity, path, k.Holes)
}

func (c *checker) capacities(list []catalogue.Capacity, path string, holes int) {
	seen := map[string]int{}
	for i, k := range list {
		at := fmt.Sprintf("%s.capacities[%d]", path, i)
		c.positive(at+".value", "the capacity", k.Value == 0)
		c.factor(at, k.Factor, k.Basis)
		if k.Basis == "mean of tests" && k.Tests < 1 {
			c.refuse(at, "incomplete", "a mean of tests does not say how many tests", "tests: 5, and spread: 10 %")
		}
		if holes > 0 && k.Screws > holes {
			c.refuse(at+".screws", "contradiction", fmt.Sprintf("the capacity holds for %d screws, the clip has %d holes", k.Screws, holes), fmt.Sprintf("at most %d", holes))
		}
		key := fmt.Sprintf("%s %s %d", k.Kind, k.Basis, k.Screws)
		if first, dup := seen[key]; dup {
			c.refuse(at, "duplicate-name", fmt.Sprintf("the same kind, basis and number of screws stand in capacities[%d]", first), "one capacity for each kind, basis and number of screws")
		}
		seen[key] = i
	}
}

// factor checks Ω or γM: a value that already contains its factor, or still
// needs it, must say which.
func (c *checker) factor(path string, factor float64, basis string) {
	if basis != "mean of tests" && factor < 1 {
		c.refuse(path+".factor", "range", fmt.Sprintf("the basis %s needs its factor, 1 or more; %g stands there", basis, factor), "the factor already applied (ASD) or still to apply (characteristic)")
	}
}

func (c *checker) channel(s *catalogue.System, path string) {
	k := &s.Channel
	c.positive(path+".screw_spacing", "the screw spacing", k.ScrewSpacing == 0)
	c.positive(path+".grip", "the grip", k.Grip == 0)
	c.atMost(path+".grip", k.Grip, "the grip", k.Depth, "the depth", "a panel cannot be gripped deeper than it can enter")
	c.atMost(path+".depth", k.Depth-k.Grip, "the room behind the panel", k.Rib, "the rib allowance", "the panel would reach past the outer face")
	c.atMost(path+".end_distance", k.EndDistance, "the end distance", k.ScrewSpacing, "the screw spacing", "the last screw is the end of a row")
	c.atMost(path+".grip", s.Rules.LeastEngagement, "the least engagement", k.Grip, "the grip", "the rule would be broken on the day of laying")
	c.atMost(path+".edge_distance", k.EdgeDistance-k.ScrewLine, "the least set-in that keeps the edge distance", s.Rules.WidestSetIn, "the widest set-in", "no place for the channel would be allowed")
}

func (c *checker) closure(s *catalogue.System, path string) {
	k := &s.Closure
	switch {
	case k.Width == 0 && len(k.Stock) == 0:
		c.refuse(path, "incomplete", "the closure has no width and no stock lengths", "width and pack for a moulded piece, or width 0 and stock")
	case k.Width > 0 && k.Pack == nil:
		c.refuse(path, "incomplete", "a moulded closure does not say how it is sold", "pack: {count: 4, price: 17.20}")
	case k.Width > 0 && len(k.Stock) > 0:
		c.refuse(path+".stock", "contradiction", "a moulded closure is not cut from stock", "width 0 if it is cut from stock lengths")
	}
	c.atMost(path+".width", k.Width, "the closure", s.Panel.Cover, "the cover width", "closures of neighbours would collide")
	if k.Pack != nil {
		c.pack(k.Pack, path+".pack")
	}
}

func (c *checker) screw(s *catalogue.Screw, path string) {
	c.positive(path+".diameter", "the diameter", s.Diameter == 0)
	c.positive(path+".length", "the length", s.Length == 0)
	c.atMost(path+".root", s.Root, "the root diameter", s.Diameter, "the nominal diameter", "the root lies inside the thread")
	c.atMost(path+".thread", s.Thread, "the thread", s.Length, "the length", "the thread is part of the screw")
	if s.Thread > 0 {
		c.atMost(path+".tip", s.Tip, "the tip", s.Thread, "the thread", "the tip is part of the thread")
	}
	if s.Head > 0 {
		c.atMost(path+".head", s.Diameter, "the diameter", s.Head, "the head", "the head would pull through its own hole")
	}
	c.pack(&s.Pack, path+".pack")
	c.capacities(s.Capacity, path, 0)
}

func (c *checker) pack(p *catalogue.Pack, path string) {
	c.positive(path+".count", "the number in a pack", p.Count == 0)
}

func (c *checker) stock(list []catalogue.Stock, path string, longest length.Length) {
	first := map[length.Length]int{}
	for i, s := range list {
		at := fmt.Sprintf("%s[%d].length", path, i)
		c.positive(at, "the stock length", s.Length == 0)
		if j, dup := first[s.Length]; dup {
			c.refuse(at, "duplicate-name", fmt.Sprintf("%s is already sold in [%d]", c.show(s.Length), j), "each length once")
		}
		first[s.Length] = i
		if s.Length > longest && longest > 0 {
			c.note(at, "undeliverable", fmt.Sprintf("%s is longer than the longest delivery, %s: this length will not be offered", c.show(s.Length), c.show(longest)), "")
		}
	}
}

func (c *checker) shop(s *catalogue.Shop, systems []catalogue.System) {
	if len(s.Currency) != 3 || strings.Trim(s.Currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		c.refuse("shop.currency", "range", quote(s.Currency)+" is not a currency code", "three capital letters of ISO 4217, for example USD or EUR")
	}
	if s.Crew < 1 {
		c.refuse("shop.crew", "range", "nobody is on site", "1 or more")
	}
	c.positive("shop.keep_offcut", "the shortest offcut worth keeping", s.KeepOffcut == 0)
	for _, x := range []struct {
		key string
		v   quantity.Ratio
	}{{"offcut_value", s.OffcutValue}, {"spares.clips", s.Spare.Clips}, {"spares.screws", s.Spare.Screws}, {"spares.tape", s.Spare.Tape}, {"tax", s.Tax}} {
		if x.v > 1 {
			c.refuse("shop."+x.key, "range", fmt.Sprintf("the share is %.0f %%", 100*float64(x.v)), "at most 100 %")
		}
	}
	shortest := length.Max
	for _, y := range systems {
		for _, list := range [][]catalogue.Stock{y.Sheets, y.Cap.Stock, y.Channel.Stock, y.Closure.Stock} {
			for _, k := range list {
				shortest = min(shortest, k.Length)
			}
		}
	}
	const cannotCut = "nothing could be cut from it"
	what := "the shortest stock length"
	if shortest == length.Max {
		shortest, what = s.KeepOffcut, "the shortest offcut worth keeping"
	}
	c.atMost("shop.crosscut_kerf", s.CrossKerf+s.TrimStart+s.TrimEnd, "saw loss and end trims", shortest, what, cannotCut)
	for _, y := range systems {
		c.atMost("shop.rip_kerf", s.RipKerf, "the rip kerf", y.Rules.LeastRip, "the least rip of "+y.Name, cannotCut)
	}
	var labels []string
	for i, o := range s.Rack {
		labels = append(labels, o.Label)
		c.positive(fmt.Sprintf("shop.rack[%d].length", i), "the offcut", o.Length == 0)
	}
	c.unique(labels, "shop.rack", "label")
}
