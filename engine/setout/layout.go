// Package setout decides where everything goes on one roof plane: the
// direction and place of the seams, the verge lines, the purlins, clips with
// their hand, edge channels, panel pieces, and the marks that put them there.
//
// Search lists the ways the plane can be laid out, best first, and Build works
// one of them out in full. Coordinates are those of the plane turned so that
// the seams run along V; the first corner of the eave stays at the origin.
package setout

import (
	"seamwright/engine/catalogue"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/heat"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/roof"
)

// Input is everything a set-out hangs on.
type Input struct {
	Plane  roof.Plane
	System catalogue.System
	Wishes job.Wishes
	Tape   length.Tape // marks are rounded to it
	Heat   Heat
	Rip    length.Length // saw loss of a cut along the flutes
}

// Heat holds the panel temperatures in °C.
type Heat struct {
	Fixing, Cold, Hot float64
}

// Hand says which way a clip's flange faces: the side worked towards.
type Hand string

// Hands, seen from the eave looking up the slope.
const (
	FlangeRight Hand = "right"
	FlangeLeft  Hand = "left"
)

// Layout is one plane set out in full.
type Layout struct {
	Plane     string        `json:"plane"`
	Direction string        `json:"direction"` // of the seams, in words
	Skew      float64       `json:"skew_rad"`  // of the seams against the fall, to the right positive
	Slope     float64       `json:"slope_rad"`
	Pitch     length.Length `json:"pitch"`
	Joint     length.Length `json:"joint"`
	SetInL    length.Length `json:"set_in_left"` // outer face of the channel in from the frame face
	SetInR    length.Length `json:"set_in_right"`

	Frame geom.Polygon `json:"frame"`
	Cover geom.Polygon `json:"cover"` // what the panels cover, overhangs included
	Edges []Edge       `json:"edges"`

	Purlins  []Purlin  `json:"purlins"`
	Seams    []Seam    `json:"seams"`
	Panels   []Panel   `json:"panels"`
	Clips    []Clip    `json:"clips"`
	Channels []Channel `json:"channels"`
	Ends     []End     `json:"ends"`
	KeepOff  []Place   `json:"keep_off,omitempty"`
	Rafters  []Purlin  `json:"rafters,omitempty"`

	Work     Work         `json:"work"`
	Datum    Datum        `json:"datum"`
	Marks    []Row        `json:"marks"`
	Readings []RipReading `json:"rip_readings"`
	Movement Movement     `json:"movement"`

	Findings []finding.Finding `json:"findings,omitempty"`
}

// Edge is an edge of the outline with where the panels end along it.
type Edge struct {
	Name   string        `json:"name"`
	From   string        `json:"from"`
	To     string        `json:"to"`
	Kind   roof.EdgeKind `json:"kind"`
	Wall   bool          `json:"wall,omitempty"`
	Ridge  bool          `json:"ridge,omitempty"`
	Raking bool          `json:"raking,omitempty"`
	A      geom.Point    `json:"a"` // frame
	B      geom.Point    `json:"b"`
	CoverA geom.Point    `json:"cover_a"`
	CoverB geom.Point    `json:"cover_b"`
	Out    length.Length `json:"out"` // panels past the frame face; negative: short of it
}

// Purlin is a support across the slope, between two points of its centre line.
type Purlin struct {
	ID        string        `json:"id"`
	Left      geom.Point    `json:"left"`
	Right     geom.Point    `json:"right"`
	Found     bool          `json:"found"`      // was there already
	EaveLeft  length.Length `json:"eave_left"`  // from the eave face along the left side
	EaveRight length.Length `json:"eave_right"` // and along the right side
}

// Seam is where two panels meet; U is the middle of the joint.
type Seam struct {
	ID   string        `json:"id"`
	U    length.Length `json:"u"`
	V    geom.Span     `json:"v"` // both panels stand beside it over this stretch
	Hand Hand          `json:"hand"`
	Row  length.Length `json:"row"` // U of the clip screw holes
	Cap  string        `json:"cap"`
}

// Panel is one piece.
type Panel struct {
	ID        string        `json:"id"`
	Outline   geom.Polygon  `json:"outline"`
	Left      Side          `json:"left"`
	Right     Side          `json:"right"`
	Length    length.Length `json:"length"`       // blank to be cut: longest extent down the flutes
	LeftLen   length.Length `json:"left_length"`  // down the left side
	RightLen  length.Length `json:"right_length"` // down the right side
	EaveWidth length.Length `json:"eave_width"`
	HeadWidth length.Length `json:"head_width"`
	EaveRun   length.Length `json:"eave_run"` // how far the eave cut climbs from left to right; 0 is square
	HeadRun   length.Length `json:"head_run"`
	Notched   bool          `json:"notched,omitempty"` // not four-sided: cut by the drawing
	Rip       bool          `json:"rip,omitempty"`     // provisional: rip after reading
	Fixed     string        `json:"fixed_purlin"`      // where it is held against creeping; heat movement counts from there
}

// Side is what becomes of a long side of a panel.
type Side struct {
	Kind    string        `json:"kind"` // "upstand", "rip", "tapered rip"
	Seam    string        `json:"seam,omitempty"`
	Channel string        `json:"channel,omitempty"`
	Taper   length.Length `json:"taper,omitempty"` // head width less eave width, for a rip
}

// The kinds of side.
const (
	Upstand    = "upstand"
	Rip        = "rip"
	TaperedRip = "tapered rip"
)

// Clip is one clip: the middle of its row of holes.
type Clip struct {
	Seam   string     `json:"seam"`
	Purlin string     `json:"purlin"`
	At     geom.Point `json:"at"`
	Hand   Hand       `json:"hand"`
}

// Channel is an edge channel along a verge, from its eave end up.
type Channel struct {
	ID     string          `json:"id"`
	Edge   string          `json:"edge"`
	Kind   roof.EdgeKind   `json:"kind"`
	A      geom.Point      `json:"a"` // eave end of the outer face
	B      geom.Point      `json:"b"`
	Length length.Length   `json:"length"`
	Screws []length.Length `json:"screws"` // running, from the eave end
	Panel  string          `json:"panel"`
	Panels []string        `json:"panels"` // all that it holds
}

// End is one cut end of a panel with what closes it.
type End struct {
	Panel   string        `json:"panel"`
	At      roof.EdgeKind `json:"at"` // eave or head
	Closure string        `json:"closure"`
	Width   length.Length `json:"width"`          // of the cut
	Tape    string        `json:"tape"`           // "breather" at the low end, "seal" at the high end
	Weeps   bool          `json:"weeps"`          // weep holes: at the eave only
	Trim    string        `json:"trim,omitempty"` // side on which the closure is trimmed: the one without upstand
	Angled  bool          `json:"angled,omitempty"`
}

// Place is a place that clip screws must miss.
type Place struct {
	What  string        `json:"what"`
	At    geom.Point    `json:"at"`
	Width length.Length `json:"width"`
	Whole bool          `json:"whole_slope"`
}

// Work says where laying begins and which way it goes.
type Work struct {
	From    string   `json:"from"`    // "left", "right", "middle"
	Starter string   `json:"starter"` // seam whose clips are fixed first, on marks
	Row     []string `json:"row"`     // every seam of the starter row: a notch can part it
	Walled  bool     `json:"walled"`  // the first panel goes into a channel at a wall
	First   bool     `json:"first"`   // a panel goes down before the starter row, whose clips are fixed against it
	Order   []Laying `json:"order"`
}

// Laying is one panel in the order of work.
type Laying struct {
	Panel string   `json:"panel"`
	How   string   `json:"how"`             // OverWings, UnderWing, Sideways, IntoWall, OnMarks or Channels
	Seams []string `json:"seams,omitempty"` // clips fixed against it afterwards
}

// Datum is the string line that every mark is measured from: the starter row
// of clip holes.
type Datum struct {
	Seam    string        `json:"seam"`
	Bottom  Nail          `json:"bottom"`
	Top     Nail          `json:"top"`
	Between length.Length `json:"between"` // nail to nail
	Checks  []Check       `json:"checks"`
}

// Nail is one end of the string.
type Nail struct {
	Purlin    string        `json:"purlin"`
	At        geom.Point    `json:"at"`
	FromLeft  length.Length `json:"from_left"` // frame face, along the purlin
	FromRight length.Length `json:"from_right"`
}

// Check is a distance that proves the string.
type Check struct {
	From string        `json:"from"`
	To   string        `json:"to"`
	Want length.Length `json:"want"`
}

// Row is the marks along one purlin, running from the datum; left is negative.
type Row struct {
	Purlin string        `json:"purlin"`
	Zero   string        `json:"zero"` // seam whose row is 0: the datum, or the nearest row where it does not reach
	Marks  []Mark        `json:"marks"`
	Total  length.Length `json:"total"` // frame face to frame face
}

// Mark is one running mark.
type Mark struct {
	ID    string        `json:"id"`   // S3, edge, frame
	Kind  string        `json:"kind"` // "starter", "check", "edge", "frame"
	Exact length.Length `json:"exact"`
	At    length.Length `json:"at"` // rounded to the tape, once
	Hand  Hand          `json:"hand,omitempty"`

	Planned *length.Length `json:"planned,omitempty"` // exact, if readings of rows before it have moved it
}

// AsPlanned is the exact mark before any reading moved it.
func (m Mark) AsPlanned() length.Length {
	if m.Planned != nil {
		return *m.Planned
	}
	return m.Exact
}

// RipReading tells how an edge panel is ripped once its neighbour is fixed: the
// width left is read at every purlin and something is taken off it.
type RipReading struct {
	Panel   string        `json:"panel"`
	Side    string        `json:"side"` // the ripped side: "left", "right" or "both"
	From    string        `json:"from"` // what the tape is hooked on
	TakeOff length.Length `json:"take_off"`
	Rows    []RipRow      `json:"rows"`
}

// RipRow is the plan for one purlin.
type RipRow struct {
	Purlin  string        `json:"purlin"`
	Reading length.Length `json:"reading"` // expected: neighbour's butting face to frame face
	Face    length.Length `json:"face"`    // expected: own butting face to frame face, joint left out
	Rip     length.Length `json:"rip"`     // expected width
}

// Movement is what heat does to the longest panel.
type Movement struct {
	FixedPurlin  string        `json:"fixed_purlin"`
	ToEave       heat.Movement `json:"to_eave"` // of the eave end, mm
	ToHead       heat.Movement `json:"to_head"`
	Across       heat.Movement `json:"across"`   // of one module
	HeadGap      length.Length `json:"head_gap"` // left at a wall or ridge
	DripCold     length.Length `json:"drip_cold"`
	DripHot      length.Length `json:"drip_hot"`
	GripCold     length.Length `json:"grip_cold"` // channel engagement left
	GripHot      length.Length `json:"grip_hot"`
	JointClosing length.Length `json:"joint_closing"` // free play of a joint less the movement of a module
}
