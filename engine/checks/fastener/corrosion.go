package fastener

import "seamwright/engine/loads/cite"

// Metal is what a screw, clip or channel is made of or coated with.
type Metal string

// The metals and coatings.
const (
	UnknownMetal   Metal = ""
	Electroplate   Metal = "electroplated zinc"
	HotDip         Metal = "hot-dip galvanised"   // ASTM A153 for fasteners
	Galvanised     Metal = "galvanised sheet G90" // thinner than ASTM A653 G185
	GalvanisedG185 Metal = "galvanised sheet G185"
	Stainless      Metal = "stainless 304 or 316"
	Aluminium      Metal = "aluminium"
	MakerCoating   Metal = "maker's coating" // needs its own report for treated wood
	Polymer        Metal = "plastic"
)

// Treatment is the preservative in the wood.
type Treatment string

// The treatments.
const (
	UnknownTreatment Treatment = ""
	Untreated        Treatment = "untreated"
	Copper           Treatment = "copper based" // ACQ, CA, copper azole, micronised copper
	Borate           Treatment = "borate"
)

// Exposure is what touches what, outdoors.
type Exposure struct {
	Where     string
	Screw     Metal
	Connector Metal // clip, channel, strap or base under the screw head
	Barrier   bool  // a separating membrane between connector and wood
	Wood      Treatment
	Acidic    bool // cedar, redwood and other woods with acid extractives
	Wet       bool
}

// Corrosion returns what is wrong or unknown about the metals of one joint.
//
// Source: USDA Forest Service "Corrosiveness of Treatments" and trade
// association fastener pages (read); IBC 2304 and IRC R317.3 ask the same.
func Corrosion(x Exposure) []cite.Finding {
	const treated = "USDA Forest Service, Corrosiveness of Treatments; IRC R317.3"
	var out []cite.Finding
	add := func(level cite.Level, code, what, why, source, do string) {
		out = append(out, cite.Finding{Level: level, Code: code, Where: x.Where, What: what, Why: why, Source: source, Do: do})
	}
	if x.Screw == UnknownMetal {
		add(cite.Warn, "corrosion-screw-unknown", "the metal of the screws is not given", "outdoors, and in treated wood above all, the wrong metal loses its strength unseen", treated,
			"choose hot-dip galvanised (ASTM A153) or stainless screws")
	}
	if x.Wood == UnknownTreatment {
		add(cite.Note, "corrosion-wood-unknown", "whether the wood is treated is not given", "copper preservative attacks plain zinc and aluminium", treated, "say whether the wood is treated, and with what")
	}
	if x.Screw == Electroplate {
		add(cite.Stop, "corrosion-electroplate", "electroplated screws in an outdoor frame", "the thin zinc is gone in a few wet seasons", "common practice, no source; "+treated,
			"use hot-dip galvanised (ASTM A153) or stainless screws")
	}
	if x.Wood == Copper {
		if x.Screw == MakerCoating {
			add(cite.Warn, "corrosion-coating", "coated screws in copper-treated wood", "the coating counts only with a report for this preservative", treated, "get the maker's report, or use hot-dip galvanised or stainless screws")
		}
		if x.Connector == Aluminium && !x.Barrier {
			add(cite.Stop, "corrosion-aluminium-copper", "aluminium touches wood treated with copper preservative", "the copper eats aluminium", treated,
				"lay a separating membrane between them, or use borate-treated or untreated durable wood")
		}
		if x.Connector == Galvanised {
			add(cite.Warn, "corrosion-thin-zinc", "thin galvanised sheet on copper-treated wood", "sheet connectors in treated wood need the heavier zinc", treated+"; ASTM A653 G185, ASTM A123", "use G185 or stainless connectors")
		}
	}
	if stainless := x.Screw == Stainless; stainless && (x.Connector == Galvanised || x.Connector == GalvanisedG185 || x.Connector == HotDip) ||
		!stainless && x.Screw != UnknownMetal && x.Connector == Stainless {
		add(cite.Warn, "corrosion-mixed-metals", "stainless and galvanised steel in one joint", "the zinc is used up by the stainless steel beside it", treated, "use screws and connector of the same metal")
	}
	if x.Acidic && x.Screw != Stainless && x.Screw != UnknownMetal {
		add(cite.Warn, "corrosion-acid-wood", "zinc in cedar, redwood or another acid wood", "the extractives attack thin zinc and stain black with iron", "trade association pages on cedar fasteners", "use stainless screws")
	}
	if x.Wet {
		add(cite.Note, "corrosion-wet", "the wood is wet in service", "screws lose section over the years", "common practice, no source", "look at the screws at the yearly check and write the service class on the order")
	}
	return out
}
