// Package measure turns the tape readings of one roof plane into its frame as
// measured: corners, with how well each is known; what the readings say of each
// other; how square the frame is; and which reading to take next.
package measure

import (
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
)

// Frame is one plane's frame as measured. Coordinates lie in the plane: A at
// the origin, the eave along U, the slope upwards along V.
type Frame struct {
	Plane      string            `json:"plane"`
	Corners    []Corner          `json:"corners"`
	Edges      []Edge            `json:"edges"`
	Readings   []Reading         `json:"readings"`
	Redundancy int               `json:"redundancy"` // readings beyond the least number
	Misfit     float64           `json:"misfit"`     // weighted square sum of the corrections, v'Pv
	Blunder    Blunder           `json:"blunder"`
	Square     *Square           `json:"square,omitempty"` // four corners only
	TwistMM    *float64          `json:"twist_mm,omitempty"`
	SlopeRad   *float64          `json:"slope_rad,omitempty"` // from corner heights
	Next       []Tie             `json:"next,omitempty"`      // readings worth taking, best first
	Findings   []finding.Finding `json:"findings,omitempty"`
}

// Corner is one corner of the frame.
type Corner struct {
	Name      string         `json:"name"`
	At        geom.Point     `json:"at"`
	Angle     float64        `json:"angle_deg"`    // inside angle
	AngleSD   float64        `json:"angle_sd_deg"` // its standard deviation; 0 if confidence may not be quoted
	LongMM    float64        `json:"ellipse_long_mm"`
	ShortMM   float64        `json:"ellipse_short_mm"` // semi-axes of the 95 % ellipse
	BearingDg float64        `json:"ellipse_bearing_deg"`
	Height    *length.Length `json:"height,omitempty"`
}

// Edge is one side of the frame after adjustment.
type Edge struct {
	From   string        `json:"from"`
	To     string        `json:"to"`
	Length length.Length `json:"length"`
	SDMM   float64       `json:"sd_mm"`
}

// Reading is one tape reading and what the others say of it.
type Reading struct {
	Between    string        `json:"between"`
	Read       length.Length `json:"read"`
	Adjusted   length.Length `json:"adjusted"`
	ChangeMM   float64       `json:"change_mm"`          // adjusted − read
	SDMM       float64       `json:"sd_mm"`              // of the reading, a priori
	Redundancy float64       `json:"redundancy"`         // 0: nothing checks it; 1: fully checked
	W          float64       `json:"w"`                  // normalised correction
	LeastMM    float64       `json:"least_misread_mm"`   // smallest misread noticed with 80 % power at 0.1 %
	MisreadMM  float64       `json:"implied_misread_mm"` // if this reading alone were bad
}

// Blunder is the verdict on misread tapes.
type Blunder struct {
	Verdict string   `json:"verdict"` // "none", "noticed", "located", "unchecked"
	Suspect string   `json:"suspect,omitempty"`
	Hints   []string `json:"hints,omitempty"`
}

// Square says how square a four-cornered frame is, and what would square it.
type Square struct {
	Verdict   string        `json:"verdict"` // one sentence
	IsSquare  bool          `json:"square"`
	Width     length.Length `json:"width"` // of the best rectangle
	Height    length.Length `json:"height"`
	Rack      length.Length `json:"rack"` // head to the right of square over the height
	RackSDMM  float64       `json:"rack_sd_mm"`
	TaperEave length.Length `json:"taper_width"`  // head longer than eave
	TaperSide length.Length `json:"taper_height"` // right side longer than left
	Push      *Push         `json:"push,omitempty"`
	DatumMrad float64       `json:"datum_mrad"` // direction that halves the taper of the verges, from square to the eave
}

// Push is what squares the frame.
type Push struct {
	Corners [2]string     `json:"corners"`        // ends of the long diagonal, pushed towards each other
	Target  length.Length `json:"target"`         // both diagonals read this afterwards
	Move    length.Length `json:"move"`           // travel of the head against the eave
	Left    float64       `json:"angle_left_deg"` // largest corner error that pushing cannot remove
}

// Tie is a reading worth taking.
type Tie struct {
	What string `json:"what"`
	Why  string `json:"why"`
}
