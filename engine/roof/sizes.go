package roof

import (
	"fmt"

	"seamwright/engine/finding"
	"seamwright/engine/length"
)

// closestPurlins is the closest spacing that can be asked for: less leaves no
// room to drive a screw (assumption).
const closestPurlins = 50 * length.Millimetre

// sizes refuses lengths that no roof has, so that no later stage divides by
// them or builds on them.
func (b *builder) sizes() {
	j := b.job
	least := func(where string, l *length.Length, least length.Length, what string) {
		if l != nil && *l < least {
			b.say(finding.Stop, "roof.size", where, where+" is too small", what, "correct it, or leave it out")
		}
	}
	const one = length.Millimetre
	least("purlins.spacing", j.Purlins.Spacing, closestPurlins, "purlins cannot lie closer than 2 in (50 mm)")
	least("purlins.width", j.Purlins.Width, one, "a purlin has a width")
	least("purlins.depth", j.Purlins.Depth, one, "a purlin has a depth")
	least("verges.width", j.Verges.Width, one, "a verge member has a width")
	least("fascia", &j.Fascia, 0, "the fascia stands out from the frame face, never back from it")
	least("drip", j.Drip, 0, "panels reach past the fascia, never short of it")
	for i := range j.KeepOff {
		least(fmt.Sprintf("keep_off[%d].width", i), &j.KeepOff[i].Width, 0, "a width to keep clear is not negative")
	}
	if r := j.Rafters; r != nil {
		least("rafters.width", r.Width, one, "a rafter has a width")
		least("rafters.depth", r.Depth, one, "a rafter has a depth")
	}
}

// Frames smaller than this both ways, or narrower than this either way, are
// doubted: feet written as inches make one of twelve inches (assumption).
const (
	smallBothWays = 1000 * length.Millimetre
	smallOneWay   = 400 * length.Millimetre
)

// doubts warns of what can be built on but was probably not meant.
func (b *builder) doubts() {
	lo, hi := b.plane.Outline.Bounds()
	w, h := hi.U-lo.U, hi.V-lo.V
	if min(w, h) < smallOneWay || max(w, h) < smallBothWays {
		b.say(finding.Warn, "roof.small", "tapes", fmt.Sprintf("the whole plane is only %.0f by %.0f mm", w.MM(), h.MM()),
			"feet written as inches, or metres as centimetres, give such a frame", "check the units of the readings")
	}
	for i, k := range b.job.KeepOff {
		if k.Left < lo.U-k.Width || k.Left > hi.U+k.Width || k.Eave != nil && (*k.Eave < lo.V-k.Width || *k.Eave > hi.V+k.Width) {
			b.say(finding.Warn, "roof.keep-off-outside", fmt.Sprintf("keep_off[%d]", i), "the "+k.What+" to keep off lies outside the frame",
				"no seam was moved for it", "measure it from the left face along the eave, and from the eave face up the slope")
		}
	}
}
