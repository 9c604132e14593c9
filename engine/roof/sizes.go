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
