package job

import "seamwright/engine/length"

// Built pins the set-out that work began with, and what it was worked out from,
// so that no later reading, wish or price moves a row that is already fixed.
// The command line and the app write it; nobody types it.
type Built struct {
	Start     string          `key:"start,required" enum:"left|right|middle" doc:"where laying began"`
	Seams     string          `key:"seams,required" doc:"direction of the seams, in words"`
	Skew      float64         `key:"skew" doc:"of the seams against the fall, to the right positive, in radians"`
	Offset    length.Length   `key:"offset,required" doc:"of one seam, from the first corner of the eave; the others lie whole pitches from it"`
	SetInL    length.Length   `key:"set_in_left" doc:"of the left edge channel, in from the frame face"`
	SetInR    length.Length   `key:"set_in_right" doc:"of the right edge channel"`
	OverRidge bool            `key:"over_ridge" doc:"true if the seams carry on those beyond the ridge"`
	Starter   string          `key:"starter" doc:"the seam that laying began with"`
	Rows      []length.Length `key:"rows" doc:"clip-hole row of every seam, from the first corner of the eave square to the seams"`
	Corners   []BuiltCorner   `key:"corners,required" doc:"the frame as it was set out, in order from the first corner of the eave"`
	Purlins   Purlins         `key:"purlins" doc:"what the job said of purlins then"`
	Lines     []length.Length `key:"lines" doc:"running distance of every purlin from the eave face, along the left verge"`
}

// BuiltCorner is a corner of the frame as it was set out.
type BuiltCorner struct {
	Name string `key:"name,required" doc:"its name"`
	At   Point  `key:"at,required" doc:"[along the eave, up the slope] from the first corner of the eave"`
}

// AsBuilt is what was read and done since work began. Seams, purlins and panels
// go by the names on the site sheet.
type AsBuilt struct {
	Fixed    []string                              `key:"fixed" doc:"seams whose clips are screwed"`
	Landings []Landing                             `key:"landings" doc:"rows of clips as they landed, in the order they were read; the last one is the row just read"`
	Edges    map[string]map[string][]length.Length `key:"edges" doc:"per edge panel and purlin: the reading that its rip is cut from"`
	Ripped   []string                              `key:"ripped" doc:"edge panels that are cut already"`
}

// Landing is where one row of clips landed.
type Landing struct {
	Seam  string                     `key:"seam,required" doc:"name of the seam"`
	Joint length.Length              `key:"joint" doc:"what its joint was opened by on purpose; negative: closed"`
	Reads map[string][]length.Length `key:"reads,required" doc:"per purlin: running distance from the string to the row of clip holes, left of it negative; a list if read more than once"`
}
