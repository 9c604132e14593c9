package sequence

// Cautions are printed on every paper that goes to the site. Limits of wind are
// from roofing contractors' guidance (stop handling at mean 23 mph, 10 m/s) and
// common practice, no source, for large light panels (15 and 17 mph); that a
// thin multiwall roof is treated as fragile is HSE's position.
func Cautions() []string {
	return []string{
		"Fragile roof. Do not step, kneel or lean a ladder on panels or channels: a person falls through. Work from platforms below and beside; crawl boards across at least two purlins are the only way over.",
		"A purlin is no anchor for a harness.",
		"Do not lift panels above a mean wind of 15 mph (7 m/s); nobody on a ladder above 17 mph. A panel that is not fully clipped is a sail.",
		"Saw: panel clamped and supported, guard on, eyes and ears covered, no cutting overhead. Find cables before drilling a wall.",
		"Brace the frame before any panel goes on.",
		"Local code and a licensed professional decide. This plan is not a sealed engineering document.",
	}
}

func weather() []string {
	return []string{
		"Dry panels, dry edges: no tape on wet or cold-damp ends, and no water into open flutes. Tape over every open end that stays overnight.",
		"Mean wind above 15 mph (7 m/s): no panel is lifted. Forecast of gusts overnight: nothing half clipped, caps on.",
		"Panels out of the sun until they are laid: a hot panel is fixed too long and pulls at its ends in winter.",
		"Film: peel back at the edges before fixing, off altogether the same day.",
		"No solvent, fresh preservative, plasticised PVC or unknown sealant near the panels.",
	}
}
