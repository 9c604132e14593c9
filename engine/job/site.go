package job

import (
	"seamwright/engine/length"
	"seamwright/engine/quantity"
)

// Site is where the roof stands and by which standard it is judged. Without it
// wind and snow are not checked; nothing of it is ever assumed.
type Site struct {
	Standard  string         `key:"standard,required" enum:"ASCE 7-16|ASCE 7-22|EN" doc:"standard and edition adopted where the roof stands; EN is EN 1990, 1991-1-3 and 1991-1-4"`
	Method    string         `key:"method" enum:"ASD|LRFD|EN 1990" doc:"design format; ASD for ASCE 7 and EN 1990 for EN if left out"`
	Risk      string         `key:"risk" enum:"I|II|III|IV" doc:"risk category the wind and snow values were read for (ASCE 7)"`
	Elevation *length.Length `key:"elevation" doc:"height of the ground above sea level"`
	// One of the two heights is needed for wind.
	MeanHeight *length.Length  `key:"mean_roof_height" doc:"mean height of the roof above the ground"`
	EaveHeight *length.Length  `key:"eave_height" doc:"height of the eave above the ground, where the mean height is not given"`
	Blockage   *quantity.Ratio `key:"blockage" doc:"share of the space beneath the roof that goods, cars or screens may ever fill; the worst is taken if left out"`
	OpenSides  *quantity.Ratio `key:"open_sides" doc:"open share of the least open side, the house wall left aside"`
	House      *House          `key:"house" doc:"the building a cover is fixed to, if any edge stands against a wall"`
	Wind       *Wind           `key:"wind" doc:"wind; not checked if left out"`
	Snow       *Snow           `key:"snow" doc:"snow; not checked if left out"`
	Taller     []Taller        `key:"taller_roofs" doc:"taller roofs beside the cover, for drifted and sliding snow"`
	Live       *Live           `key:"live" doc:"roof live load; not checked if left out"`
	Rain       *Rain           `key:"rain" doc:"design rain, for the gutter"`
	Seismic    *Seismic        `key:"seismic" doc:"earthquake, where the code asks for it"`
	Amendments string          `key:"amendments" doc:"local amendments and who adopted the standard"`
	Engineer   string          `key:"engineer" doc:"who answers for choices beyond the methods"`
}

// House is the building an attached cover leans on. Heights above the ground.
type House struct {
	EaveHeight     length.Length `key:"eave_height,required" doc:"eave of the house above the ground"`
	MeanRoofHeight length.Length `key:"mean_roof_height,required" doc:"mean height of the house roof above the ground"`
	ContinuesRoof  bool          `key:"continues_roof" doc:"true if the cover carries on the plane of the house roof"`
}

// Wind is the wind of the place.
type Wind struct {
	Speed      quantity.Speed  `key:"speed,required" doc:"wind speed of the map"`
	Kind       string          `key:"kind,required" enum:"3-second gust, ultimate|3-second gust, nominal|10-minute mean, 50 years" doc:"what the speed means; ASCE 7 needs the ultimate gust, EN the 10-minute mean"`
	Source     string          `key:"source" doc:"map, database or authority, and date"`
	Exposure   string          `key:"exposure" enum:"B|C|D" doc:"exposure category (ASCE 7)"`
	Terrain    string          `key:"terrain" enum:"0|I|II|III|IV" doc:"terrain category (EN)"`
	Topography string          `key:"topography" enum:"flat|factor|ridge|escarpment|hill" doc:"flat if the site is on no ridge, escarpment or hill; level ground is never assumed"`
	Factor     float64         `key:"topography_factor" doc:"Kzt or c_o, with topography: factor"`
	Hill       *length.Length  `key:"hill_height" doc:"height of the ridge, escarpment or hill"`
	HalfLength *length.Length  `key:"hill_half_length" doc:"from the crest to half of that height, upwind"`
	Distance   *length.Length  `key:"hill_distance" doc:"from the crest to the site, downwind"`
	Annex      *NationalAnnex  `key:"annex" doc:"national parameters (EN); the recommended ones must be asked for"`
	Ratio      bool            `key:"beyond_ratio" doc:"true if an engineer accepts the ASCE figures outside 0.25 to 1 for height over length; name the engineer under site"`
	Surface    string          `key:"surface" enum:"smooth|rough|very rough" doc:"roughness across the wind, for friction (EN)"`
	Force      *quantity.Force `key:"post_and_fascia_force" doc:"wind on posts and fascia along the roof, added to the roof's own (strength level for ASCE 7, characteristic for EN)"`
}

// NationalAnnex holds what EN 1991-1-4 leaves to the nations. Values left out
// are the recommended ones.
type NationalAnnex struct {
	Name       string           `key:"name,required" doc:"annex, or recommended values"`
	AirDensity quantity.Density `key:"air_density" doc:"air density, 1.25 kg/m3 recommended"`
	CDir       float64          `key:"c_dir" doc:"directional factor, 1 recommended"`
	CSeason    float64          `key:"c_season" doc:"season factor, 1 recommended"`
	KI         float64          `key:"k_i" doc:"turbulence factor, 1 recommended"`
	CsCd       float64          `key:"cs_cd" doc:"structural factor, 1 up to 15 m"`
	WallDown   float64          `key:"wall_canopy_down" doc:"national net coefficient of a canopy at a wall, downwards"`
	WallUp     float64          `key:"wall_canopy_up" doc:"the same upwards, negative"`
	WallSource string           `key:"wall_canopy_source" doc:"clause of that rule"`
}

// Snow is the snow of the place. The ground load carries the edition of the
// map it was read from; it is never used with another.
type Snow struct {
	Ground     quantity.Pressure `key:"ground,required" doc:"ground snow load pg or sk"`
	Edition    string            `key:"edition,required" enum:"ASCE 7-16|ASCE 7-22|EN" doc:"edition of the map the ground load was read from"`
	Source     string            `key:"source" doc:"map, database or authority, and date"`
	Winter     float64           `key:"winter_wind" doc:"winter wind parameter W2 of ASCE 7-22, 0.25 to 0.65"`
	Terrain    string            `key:"terrain" enum:"B|C|D|above tree line|Alaska, no trees" doc:"surface roughness around the roof (ASCE 7)"`
	Shelter    string            `key:"shelter" enum:"fully exposed|partially exposed|sheltered" doc:"how the roof itself is exposed (ASCE 7)"`
	Topography string            `key:"topography" enum:"windswept|normal|sheltered" doc:"topography (EN)"`
	Annex      string            `key:"annex" enum:"recommended values|DIN EN 1991-1-3/NA" doc:"national annex (EN)"`
	Nordic     bool              `key:"nordic" doc:"true in Finland, Iceland, Norway and Sweden, for the combination factors"`
	CaseStudy  bool              `key:"case_study" doc:"true where the map asks for a site study"`
	Sheds      bool              `key:"sheds" doc:"true if nothing at the eave keeps the snow from sliding clear"`
	HalfLoad   bool              `key:"half_load" doc:"true if the national annex asks for half of the load on half of the plane"`
	Fall       float64           `key:"exceptional_fall" doc:"coefficient of exceptional snowfall, where the national annex asks for it"`
	Drift      bool              `key:"exceptional_drift" doc:"true if the national annex asks for EN 1991-1-3 Annex B"`
}

// Taller is a taller roof beside the cover.
type Taller struct {
	Edge     string          `key:"edge,required" enum:"head|left|right" doc:"edge of the cover it stands on, seen from the eave"`
	Gap      length.Length   `key:"gap" doc:"horizontal distance; 0 if it abuts"`
	Step     length.Length   `key:"step,required" doc:"from the cover up to the nearest point of the taller roof"`
	Fetch    length.Length   `key:"length,required" doc:"length of the taller roof away from the cover"`
	Falls    bool            `key:"falls_here" doc:"true if it sheds towards the cover"`
	Slope    *quantity.Slope `key:"slope" doc:"slope that falls here"`
	Run      length.Length   `key:"run" doc:"horizontal, eave to ridge of that slope"`
	Slippery bool            `key:"slippery" doc:"true for metal, glass, membrane"`
	Guards   bool            `key:"guards" doc:"true if snow guards hold the snow"`
	Exposure float64         `key:"exposure_factor" doc:"Ce of the taller roof (ASCE 7)"`
	Thermal  float64         `key:"thermal_factor" doc:"Ct of the taller roof (ASCE 7)"`
}

// Live is the roof live load.
type Live struct {
	Rule       string            `key:"rule,required" enum:"patio cover appendix|ordinary roof|EN 1991-1-1 category H" doc:"rule that sets the roof live load"`
	Adopted    bool              `key:"appendix_adopted" doc:"true if the patio-cover appendix is adopted here"`
	Storeys    int               `key:"storeys" doc:"storeys of the cover"`
	Recreation bool              `key:"outdoor_living" doc:"true if it is used for outdoor living only"`
	Uniform    quantity.Pressure `key:"uniform" doc:"uniform load set by the authority"`
	Point      quantity.Force    `key:"point" doc:"concentrated load set by the authority"`
	Source     string            `key:"source" doc:"who set it"`
}

// Rain is the design rain and the gutter that takes it.
type Rain struct {
	PerHour  length.Length   `key:"per_hour,required" doc:"design rain that falls in an hour, 75 mm or 4 in"`
	Source   string          `key:"source" doc:"map or rule"`
	Gutter   length.Length   `key:"gutter" doc:"diameter of a half-round gutter at the eave"`
	Outlet   length.Length   `key:"to_outlet" doc:"length from the stop end to the outlet; the eave if left out"`
	WallArea float64         `key:"wall_area_m2" doc:"wall above the cover whose rain runs onto it, m2"`
	Upper    float64         `key:"upper_roof_m2" doc:"other roofs that shed onto the cover, m2"`
	Bends    []length.Length `key:"bends" doc:"distance of each bend in the gutter from the outlet"`
}

// Seismic is what the equivalent lateral force needs.
type Seismic struct {
	SDS        float64 `key:"sds,required" doc:"design spectral acceleration SDS, g"`
	SD1        float64 `key:"sd1" doc:"SD1, g; the limit by the period is not used if left out"`
	S1         float64 `key:"s1" doc:"mapped S1, g"`
	R          float64 `key:"r" doc:"response modification; 1.5 for timber cantilever columns if left out"`
	Importance float64 `key:"importance" doc:"Ie; 1 if left out"`
}

// Timber says what the frame is made of and how it lives.
type Timber struct {
	Grade           string                `key:"grade" doc:"species and grade (Douglas Fir-Larch No.2) or strength class of EN 338 (C24)"`
	Dry             bool                  `key:"dry" doc:"true if the wood stays below 19 % moisture in service; an open frame is taken as wet"`
	ServiceClass    int                   `key:"service_class" doc:"service class of EN 1995-1-1, 1 to 3; needed for EN"`
	Incised         bool                  `key:"incised" doc:"true if incised for treatment"`
	Unseasoned      bool                  `key:"unseasoned" doc:"true if built in unseasoned"`
	Treatment       string                `key:"treatment" enum:"untreated|copper based|borate" doc:"preservative in the wood"`
	Temperature     *quantity.Temperature `key:"sustained_temperature" doc:"sustained temperature of the wood, if above 100 F"`
	Limits          string                `key:"deflection_limits" enum:"roof without ceiling|roof with a ceiling other than plaster|greenhouse" doc:"row of the deflection table; roof without ceiling if left out"`
	ClipMetal       string                `key:"clip_metal" enum:"stainless|aluminium|galvanised|plastic" doc:"what clips and channels are made of"`
	ClipGauge       length.Length         `key:"clip_thickness" doc:"thickness of the clip flange under the screw heads"`
	ClipStrength    quantity.Stress       `key:"clip_strength" doc:"tensile strength of the clip's metal"`
	ScrewKind       string                `key:"screw_kind" enum:"wood screw|declared" doc:"wood screw if the clip screws are made to ANSI/ASME B18.6.1, so that the NDS equations hold"`
	ScrewSteel      quantity.Force        `key:"screw_tension" doc:"declared allowable (ASD) or characteristic (EN) tension of one clip screw"`
	ScrewWithdrawal quantity.Stress       `key:"screw_withdrawal" doc:"declared withdrawal parameter f_ax,k of the screws (EN 14592)"`
	ScrewDensity    quantity.Density      `key:"screw_density" doc:"density of the wood that parameter was found in"`
}

// Structure is what carries the purlins of one plane, down to the ground.
// Every part is optional; what is not given is listed as not checked. Distances
// along the eave run from the left face, those up the slope from the eave face.
type Structure struct {
	PurlinsOn []length.Length `key:"purlin_supports" doc:"distance along the eave of what carries the purlins, where there are no rafters"`
	PurlinFix *Fixing         `key:"purlin_fixing" doc:"how a purlin is held down on what carries it"`
	RafterFix *Fixing         `key:"rafter_fixing" doc:"how a rafter is held down on what carries it"`
	BeamFix   *Fixing         `key:"beam_fixing" doc:"how a beam is held down on its posts"`
	Beams     []Beam          `key:"beams" doc:"beams along the eave that carry the rafters, or the purlins where the posts stand under them"`
	Ledger    *Ledger         `key:"ledger" doc:"ledger at the house"`
	Posts     *Posts          `key:"posts" doc:"the posts"`
	Bracing   *Bracing        `key:"bracing" doc:"what keeps the frame from swaying"`
	Footing   *Footing        `key:"footing" doc:"footing under each post"`
}

// Fixing is how members are held down. Give a declared capacity, or screws.
type Fixing struct {
	Capacity quantity.Force `key:"capacity" doc:"declared hold-down capacity of one fixing"`
	Basis    string         `key:"basis" enum:"ASD|LRFD|characteristic" doc:"what that value contains"`
	Factor   float64        `key:"factor" doc:"γM of a characteristic value"`
	Source   string         `key:"source" doc:"report or declaration"`
	Screws   int            `key:"screws" doc:"number of screws through the member into the one below"`
	Diameter length.Length  `key:"diameter" doc:"diameter of these screws"`
	Length   length.Length  `key:"length" doc:"length of these screws"`
	Lag      string         `key:"lag" enum:"1/4|5/16|3/8|1/2" doc:"size of lag screws, instead of diameter"`
}

// Beam runs along the eave.
type Beam struct {
	Name     string          `key:"name,required" doc:"name"`
	FromEave length.Length   `key:"from_eave,required" doc:"its centre line from the eave face, up the slope"`
	Width    length.Length   `key:"width,required" doc:"breadth of all plies together"`
	Depth    length.Length   `key:"depth,required" doc:"depth"`
	Posts    []length.Length `key:"posts,required" doc:"distance of its posts along the eave"`
	Grade    string          `key:"grade" doc:"species and grade, if not that of the frame"`
}

// Ledger carries the head of the cover at the house.
type Ledger struct {
	FromEave length.Length  `key:"from_eave" doc:"its centre line up the slope; the last purlin or the rafter ends if left out"`
	Into     string         `key:"into,required" enum:"studs|rim joist|concrete|masonry|fascia|rafter tails|veneer" doc:"what it is fixed to"`
	Screws   int            `key:"screws,required" doc:"fasteners at each stud or group"`
	Spacing  length.Length  `key:"spacing,required" doc:"distance of studs or groups"`
	Lag      string         `key:"lag" enum:"1/4|5/16|3/8|1/2" doc:"size of lag screws"`
	Length   length.Length  `key:"screw_length" doc:"length of the fasteners"`
	Width    length.Length  `key:"thickness" doc:"thickness of the ledger"`
	Depth    length.Length  `key:"depth" doc:"depth of the ledger"`
	Between  length.Length  `key:"sheathing" doc:"sheathing and packing between ledger and studs"`
	Species  string         `key:"stud_grade" doc:"species and grade of what the fasteners go into"`
	Capacity quantity.Force `key:"capacity" doc:"declared capacity of one fastener, where it is not into wood"`
	Source   string         `key:"source" doc:"report or declaration"`
}

// Posts are alike.
type Posts struct {
	Width  length.Length  `key:"width,required" doc:"width"`
	Depth  length.Length  `key:"depth" doc:"depth; the width if left out"`
	Height length.Length  `key:"height,required" doc:"from the base to the beam"`
	Grade  string         `key:"grade" doc:"species and grade, if not that of the frame"`
	Base   quantity.Force `key:"base_uplift" doc:"declared uplift capacity of one post base"`
	Basis  string         `key:"base_basis" enum:"ASD|LRFD|characteristic" doc:"what that value contains"`
	Factor float64        `key:"base_factor" doc:"γM of a characteristic value"`
	Source string         `key:"base_source" doc:"report or declaration"`
}

// Bracing keeps the frame from swaying, along and across.
type Bracing struct {
	Along      string         `key:"along,required" enum:"none|knee braces|embedded|house" doc:"what resists forces along the eave"`
	Across     string         `key:"across,required" enum:"none|knee braces|embedded|house" doc:"what resists forces up the slope"`
	Brace      length.Length  `key:"brace_leg" doc:"distance of a knee brace below the beam, and along it"`
	BraceWidth length.Length  `key:"brace_width" doc:"breadth of a knee brace"`
	BraceDepth length.Length  `key:"brace_depth" doc:"depth of a knee brace"`
	BraceHold  quantity.Force `key:"brace_connection" doc:"declared capacity of one end of a knee brace, for the design method"`
	Embed      length.Length  `key:"embedment" doc:"depth of embedded posts below ground"`
	Width      length.Length  `key:"footing_width" doc:"diameter of the concrete or post that bears on the soil sideways"`
	Soil       float64        `key:"lateral_soil_psf_per_ft" doc:"allowable lateral soil bearing, psf per ft of depth (IBC Table 1806.2)"`
	Source     string         `key:"source" doc:"who gave the soil value"`
	Hold       quantity.Force `key:"house_capacity" doc:"declared horizontal capacity of the connection to the house"`
}

// Footing holds a post down by its weight.
type Footing struct {
	Width    length.Length     `key:"width" doc:"side of a square footing"`
	Diameter length.Length     `key:"diameter" doc:"diameter of a round footing"`
	Depth    length.Length     `key:"depth,required" doc:"depth of the concrete"`
	Density  quantity.Density  `key:"density" doc:"density of the concrete, as poured"`
	Soil     quantity.Pressure `key:"soil" doc:"allowable bearing pressure of the soil"`
	Source   string            `key:"source" doc:"who gave the soil value"`
}
