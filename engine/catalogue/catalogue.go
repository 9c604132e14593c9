// Package catalogue holds what a supplier sells and says of it: panel systems,
// their clips, channels, caps, closures, tapes and screws, and the shop that
// cuts and prices them. No value of a system stands in code; the built-in
// files are invented and say so, and a user's own files replace them.
//
// The struct tags are the file format: key names the field, "required" makes it
// so, doc says what it means, enum lists the accepted words. The reader, the
// published schema and the error texts are all made from them.
package catalogue

import (
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/quantity"
)

// File is one catalogue file.
type File struct {
	Seamwright int      `key:"seamwright,required" doc:"version of this format; 1"`
	Note       string   `key:"note" doc:"where the data come from and what they may be used for"`
	Units      string   `key:"units,required" enum:"inch|mm" doc:"the unit of bare lengths in this file"`
	Systems    []System `key:"systems" doc:"panel systems"`
	Shop       *Shop    `key:"shop" doc:"saw, rack, rates and taxes"`
}

// System is one panel system with everything that belongs to it.
type System struct {
	Name            string        `key:"name,required" doc:"short name a job refers to"`
	Title           string        `key:"title,required" doc:"what people call it"`
	Standing        string        `key:"standing,required" doc:"where the data come from; invented data say so"`
	Panel           Panel         `key:"panel,required" doc:"geometry and mass of a panel"`
	Rules           Rules         `key:"rules,required" doc:"what the supplier asks of a roof"`
	Tints           []Tint        `key:"tints,required" doc:"colours sold"`
	Sheets          []Stock       `key:"sheets,required" doc:"panel lengths sold"`
	Clip            Clip          `key:"clip,required" doc:"hold-down at every seam and purlin"`
	Channel         Channel       `key:"channel,required" doc:"profile screwed down along a verge"`
	Cap             Profile       `key:"cap,required" doc:"seam cap knocked over two upstands"`
	Closure         Closure       `key:"closure,required" doc:"end piece for cut panel ends"`
	BreatherTape    Roll          `key:"breather_tape,required" doc:"vapour-open tape for the low ends"`
	SealTape        Roll          `key:"seal_tape,required" doc:"tight tape for the high ends"`
	Plug            Pack          `key:"plug,required" doc:"end plug of an edge channel"`
	ClipScrew       Screw         `key:"clip_screw,required" doc:"screw through the clip"`
	ChannelScrew    Screw         `key:"channel_screw,required" doc:"screw through the edge channel"`
	LeadTime        int           `key:"lead_time_days,required" doc:"working days from order to delivery"`
	LongestDelivery length.Length `key:"longest_delivery,required" doc:"longest piece the supplier can deliver"`
}

// Panel is a sheet with an upstand along each long edge. Lengths across the
// flutes; the flutes always run down the slope.
type Panel struct {
	Cover         length.Length      `key:"cover_width,required" doc:"butting face to butting face; the width a panel covers"`
	Overall       length.Length      `key:"overall_width,required" doc:"widest width as delivered"`
	VergeWidth    length.Length      `key:"trimmed_width,required" doc:"widest panel at a verge, once the upstand there is trimmed off"`
	Upstand       length.Length      `key:"upstand,required" doc:"height of the raised edge above the panel"`
	Joint         length.Length      `key:"joint,required" doc:"gap kept between two butting faces; with the cover width it makes the pitch"`
	Depth         length.Length      `key:"depth,required" doc:"overall thickness of the multiwall sheet"`
	FlutePitch    length.Length      `key:"flute_pitch,required" doc:"rib to rib"`
	Walls         int                `key:"walls,required" doc:"number of walls: 2 twin, 3 triple"`
	OuterWall     length.Length      `key:"outer_wall" doc:"thickness of an outer wall"`
	MiddleWall    length.Length      `key:"middle_wall" doc:"thickness of the middle wall of a triple-wall sheet"`
	Rib           length.Length      `key:"rib" doc:"thickness of a rib"`
	Mass          quantity.AreaMass  `key:"mass,required" doc:"mass per area"`
	Expansion     quantity.Expansion `key:"expansion,required" doc:"coefficient of thermal expansion"`
	Turnable      bool               `key:"turnable,required" doc:"true if both upstands are alike, so that a strip may be turned end for end"`
	Modulus       quantity.Stress    `key:"modulus" doc:"Young's modulus of the wall material"`
	Poisson       float64            `key:"poisson" doc:"Poisson's ratio of the wall material"`
	BendingAlong  quantity.Bending   `key:"bending_along" doc:"declared Bx, bending stiffness along the flutes"`
	BendingAcross quantity.Bending   `key:"bending_across" doc:"declared By, bending stiffness across the flutes"`
	ShearAcross   quantity.LineLoad  `key:"shear_across" doc:"declared Sy, shear stiffness across the flutes"`
	Ratings       []Rating           `key:"ratings" doc:"declared or tested area ratings, with what was tested"`
}

// Rating is a declared area load rating. It counts only for roofs inside the
// tested parameters; it is never scaled upward.
type Rating struct {
	Sign     string            `key:"sign,required" enum:"uplift|download" doc:"direction of the load"`
	Value    quantity.Pressure `key:"value,required" doc:"rated pressure"`
	Basis    string            `key:"basis,required" enum:"ASD|characteristic" doc:"what the value already contains"`
	Factor   float64           `key:"factor,required" doc:"Ω (ASD, already applied) or γM (to be applied)"`
	Method   string            `key:"method,required" doc:"test method and report"`
	Spacing  length.Length     `key:"purlin_spacing,required" doc:"widest purlin spacing tested"`
	Clip     string            `key:"clip,required" doc:"clip used in the test"`
	Screws   int               `key:"screws,required" doc:"screws per clip in the test"`
	HeldBy   string            `key:"held_by,required" enum:"clips|lines" doc:"clips only, or clamped along lines"`
	HoldTime string            `key:"hold_time" doc:"how long the load was held"`
	Coldest  string            `key:"temperature" doc:"panel temperature in the test"`
	Module   length.Length     `key:"module" doc:"widest module tested; a rating that does not say it cannot be used"`
	Bays     int               `key:"bays" doc:"number of bays tested; the same"`
	Screw    string            `key:"screw" doc:"clip screw used in the test; the same"`
	Purlin   string            `key:"purlin" doc:"wood of the purlins in the test; the same"`
	Edge     string            `key:"edge" doc:"edge channel used in the test; the same"`
	Cap      string            `key:"cap" doc:"seam cap used in the test; the same"`
}

// Rules are the supplier's limits.
type Rules struct {
	WidestSpacing   length.Length        `key:"widest_support_spacing,required" doc:"purlin to purlin along the slope"`
	LeastSlope      quantity.Slope       `key:"least_slope,required" doc:"flatter roofs get a warning"`
	RefusedSlope    quantity.Slope       `key:"refused_slope,required" doc:"flatter roofs get a stop"`
	LeastRip        length.Length        `key:"least_rip,required" doc:"narrowest strip an edge channel can hold"`
	LongestFreeEnd  length.Length        `key:"longest_free_end,required" doc:"panel end past the last purlin"`
	Drip            length.Length        `key:"drip,required" doc:"panel past the outermost fascia or gutter at the eave"`
	WidestSetIn     length.Length        `key:"widest_set_in,required" doc:"farthest the outer face of an edge channel may sit in from the frame face"`
	WidestSkew      quantity.Slope       `key:"widest_seam_skew,required" doc:"largest angle between a seam and the fall of the roof"`
	SquareStep      length.Length        `key:"square_step,required" doc:"run-out of a panel end up to which it is cut square all the same"`
	FixedPoint      string               `key:"fixed_point,required" enum:"head|eave|middle" doc:"where each panel is held against creeping; heat movement counts from there"`
	EndTolerance    length.Length        `key:"end_tolerance,required" doc:"cutting, squareness and frame tolerance added to a heat gap"`
	LeastEngagement length.Length        `key:"least_engagement,required" doc:"channel grip on a ripped edge that must remain when coldest"`
	HottestPanel    quantity.Temperature `key:"hottest_panel" doc:"service limit of the panel"`
}

// Tint is a colour of panel.
type Tint struct {
	Name    string         `key:"name,required" doc:"name a job refers to"`
	Light   quantity.Ratio `key:"light,required" doc:"light transmission"`
	Solar   string         `key:"solar,required" enum:"clear|tinted" doc:"how hot the sun makes it: clear and opal sheets count as clear"`
	Surplus money.Amount   `key:"surplus" doc:"added to the price of a sheet, per metre of length"`
}

// Stock is a length that is sold.
type Stock struct {
	Length length.Length `key:"length,required" doc:"length sold"`
	Price  money.Amount  `key:"price,required" doc:"price of one, before tax"`
}

// Clip is the hold-down screwed to a purlin under a seam. Three lengths are
// not to be mixed up: the web that stands between two upstands, the joint kept
// between their butting faces, and the distance of the screw holes from the
// panel edge.
type Clip struct {
	Name        string        `key:"name,required" doc:"name"`
	Web         length.Length `key:"web,required" doc:"thickness of the part that stands between the upstands"`
	HoleOffset  length.Length `key:"hole_offset,required" doc:"from the edge of the panel already laid to the row of screw holes, on the working side"`
	Holes       int           `key:"holes,required" doc:"screw holes in the flange"`
	ScrewsUsed  int           `key:"screws_used,required" doc:"holes that get a screw"`
	HoleSpacing length.Length `key:"hole_spacing" doc:"hole to hole along the seam"`
	FlangeWidth length.Length `key:"flange_width" doc:"flange past the web on the working side"`
	Hand        string        `key:"hand,required" enum:"either|left|right" doc:"side the flange can face when the web stands and the eave is at the feet"`
	Pack        Pack          `key:"pack,required" doc:"how it is sold"`
	Capacity    []Capacity    `key:"capacities" doc:"declared capacities with their basis; none is not the same as zero"`
}

// Capacity is a declared resistance of a part.
type Capacity struct {
	Kind   string         `key:"kind,required" enum:"uplift|download|lateral|along" doc:"direction of the force on the part"`
	Value  quantity.Force `key:"value,required" doc:"resistance of one part"`
	Basis  string         `key:"basis,required" enum:"ASD|characteristic|mean of tests" doc:"what the value already contains"`
	Factor float64        `key:"factor" doc:"Ω already applied (ASD) or γM still to apply (characteristic)"`
	Tests  int            `key:"tests" doc:"number of tests behind a mean"`
	Spread quantity.Ratio `key:"spread" doc:"coefficient of variation of the tests"`
	Screws int            `key:"screws" doc:"screws per clip it holds for"`
	Source string         `key:"source,required" doc:"report or declaration"`
}

// Profile is sold in lengths.
type Profile struct {
	Name  string  `key:"name,required" doc:"name"`
	Stock []Stock `key:"stock,required" doc:"lengths sold"`
}

// Channel is the edge channel along a verge. Distances are measured from its
// outer face, inwards.
type Channel struct {
	Name         string        `key:"name,required" doc:"name"`
	Rib          length.Length `key:"rib_allowance,required" doc:"outer face of the channel to the edge of the panel inside it"`
	ScrewLine    length.Length `key:"screw_line,required" doc:"outer face to the line of screws"`
	EdgeDistance length.Length `key:"edge_distance,required" doc:"least distance of those screws from the face of the frame"`
	ScrewSpacing length.Length `key:"screw_spacing,required" doc:"widest distance between screws"`
	EndDistance  length.Length `key:"end_distance,required" doc:"end of the channel to the first screw, at most"`
	Depth        length.Length `key:"depth,required" doc:"how far a panel can enter, face to root"`
	Grip         length.Length `key:"grip,required" doc:"engagement of the panel in the channel when laid as drawn"`
	Stock        []Stock       `key:"stock,required" doc:"lengths sold"`
}

// Closure is the end piece of a cut panel end, with weep holes at the eave.
type Closure struct {
	Name  string        `key:"name,required" doc:"name"`
	Width length.Length `key:"width,required" doc:"width of the moulded piece, or 0 if it is cut from stock lengths"`
	Pack  *Pack         `key:"pack" doc:"how a moulded piece is sold"`
	Stock []Stock       `key:"stock" doc:"lengths sold, if it is cut from stock"`
}

// Roll is a tape.
type Roll struct {
	Name   string        `key:"name,required" doc:"name"`
	Length length.Length `key:"roll,required" doc:"length on a roll"`
	Price  money.Amount  `key:"price,required" doc:"price of a roll"`
}

// Pack is a part sold in packs.
type Pack struct {
	Count int          `key:"count,required" doc:"pieces in a pack"`
	Price money.Amount `key:"price,required" doc:"price of a pack"`
}

// Screw is a screw by its geometry.
type Screw struct {
	Name     string        `key:"name,required" doc:"name"`
	Diameter length.Length `key:"diameter,required" doc:"nominal (outer thread) diameter"`
	Root     length.Length `key:"root" doc:"root diameter"`
	Length   length.Length `key:"length,required" doc:"length under the head"`
	Thread   length.Length `key:"thread" doc:"threaded length, tip included"`
	Tip      length.Length `key:"tip" doc:"tapered tip that does not count"`
	Head     length.Length `key:"head" doc:"head or washer diameter"`
	Metal    string        `key:"metal,required" enum:"stainless|galvanised|coated steel" doc:"material"`
	Drive    string        `key:"drive,required" doc:"driver bit"`
	Pack     Pack          `key:"pack,required" doc:"how it is sold"`
	Capacity []Capacity    `key:"capacities" doc:"declared capacities"`
}
