// Package job holds one job as a person writes it down: what the tape said,
// which way the water runs, what is already there, and what is wanted.
//
// The struct tags are the file format, as in package catalogue.
package job

import (
	"seamwright/engine/length"
	"seamwright/engine/quantity"
)

// Version is the format this program writes and the newest it reads.
const Version = 1

// Job is one roof or several planes of one roof.
type Job struct {
	Seamwright int     `key:"seamwright,required" doc:"version of this format; 1"`
	Name       string  `key:"name,required" doc:"what the job is called"`
	Number     string  `key:"number" doc:"job number printed on every paper"`
	Customer   string  `key:"customer" doc:"who it is for"`
	Address    string  `key:"address" doc:"where it stands"`
	Notes      string  `key:"notes" doc:"anything a reader should know"`
	Units      string  `key:"units,required" enum:"inch|mm" doc:"the unit of bare lengths, and of what is printed"`
	Tape       Tape    `key:"tape" doc:"the tape in hand"`
	System     string  `key:"system,required" doc:"name of the panel system in the catalogue"`
	Tint       string  `key:"tint" doc:"tint of the panels; the first one sold if left out"`
	Climate    Climate `key:"climate" doc:"temperatures"`
	Planes     []Plane `key:"planes,required" doc:"one or more roof planes"`
	Site       *Site   `key:"site" doc:"standard, wind, snow and heights; wind and snow are not checked if left out"`
	Timber     *Timber `key:"timber" doc:"what the frame is made of; screws and members are not checked if left out"`
	Wishes     Wishes  `key:"wishes" doc:"preferences"`
}

// Tape is the tape in hand: what it can read and how it is used.
type Tape struct {
	Tick  string `key:"tick" enum:"1/16|1/32|1 mm|0.5 mm" doc:"smallest division read and marked; 1/16 in an inch job, 1 mm in a metric one if left out"`
	Class string `key:"class" enum:"I|II|III|US" doc:"accuracy class printed on the blade; US is NIST Handbook 44"`
	Care  string `key:"care" enum:"careful|normal|rough" doc:"how well corners are defined and the tape is held; normal if left out"`
}

// Climate holds the temperatures that move a panel.
type Climate struct {
	FixingAir *quantity.Temperature `key:"fixing_air" doc:"air temperature on the day of fixing"`
	FixingSun bool                  `key:"fixing_sun" doc:"true if the panels lie in the sun before fixing"`
	SummerAir *quantity.Temperature `key:"summer_air" doc:"hottest air expected"`
	WinterAir *quantity.Temperature `key:"winter_air" doc:"coldest air expected"`
}

// Plane is one sloping plane of a roof. Corners run counter-clockwise seen
// from above with the eave at the feet: A eave left, B eave right, C head
// right, D head left for a plain frame. All tape readings lie in the plane.
type Plane struct {
	Name      string                     `key:"name,required" doc:"what this plane is called"`
	Corners   []string                   `key:"corners" doc:"corner names in order round the frame, counter-clockwise from the eave's left; A B C D if left out"`
	Sketch    map[string]Point           `key:"sketch" doc:"rough place of each corner, [along the eave, up the slope]; needed for more than four corners"`
	Tapes     map[string][]length.Length `key:"tapes,required" doc:"readings between two corners, AB: 16' 0 1/8\"; a list if read more than once"`
	Crossing  map[string]length.Length   `key:"crossing" doc:"readings from a corner to where two strings along the diagonals cross"`
	Heights   map[string]length.Length   `key:"heights" doc:"height of each corner above any level"`
	Eave      string                     `key:"eave" doc:"the low edge, for example AB; AB if left out"`
	Slope     *quantity.Slope            `key:"slope" doc:"angle of the plane, 5 deg or 1 in 12; from the corner heights if left out"`
	Walls     []string                   `key:"walls" doc:"edges that stand against a wall, for example [CD]"`
	Ridge     string                     `key:"ridge" doc:"edge that meets another plane at a ridge"`
	Fascia    length.Length              `key:"fascia" doc:"from the frame face at the eave out to the outermost fascia or gutter"`
	Drip      *length.Length             `key:"drip" doc:"panel past that; the system's if left out"`
	Purlins   Purlins                    `key:"purlins" doc:"purlins as found; chosen if left out"`
	Rafters   *Rafters                   `key:"rafters" doc:"rafters, where purlins lie on them or are missing"`
	Verges    Verges                     `key:"verges" doc:"members under the verges"`
	Structure *Structure                 `key:"structure" doc:"what carries the purlins, down to the ground; not checked if left out"`
	KeepOff   []KeepOff                  `key:"keep_off" doc:"posts, bolts, joints and gaps that clip screws must miss"`
	Built     *Built                     `key:"built" doc:"the set-out that work began with; written by: seamwright built JOB --begin"`
	AsBuilt   *AsBuilt                   `key:"as_built" doc:"readings of what is fixed, once work has begun"`
}

// Point is a rough place in the plane: along the eave and up the slope.
type Point [2]length.Length

// Purlins are the supports across the slope.
type Purlins struct {
	Found   []length.Length `key:"found" doc:"running distance of each purlin's centre line from the eave face, along the left verge"`
	Right   []length.Length `key:"found_right" doc:"the same along the right verge, if they do not run parallel"`
	Width   *length.Length  `key:"width" doc:"width of the top face"`
	Depth   *length.Length  `key:"depth" doc:"depth"`
	Spacing *length.Length  `key:"spacing" doc:"widest spacing wanted, if closer than the system's"`
	Choose  string          `key:"choose" enum:"by rules|by checks" doc:"by checks: as few added purlins as let clips, screws and purlins pass; needs a site"`
}

// Rafters run up the slope.
type Rafters struct {
	At    []length.Length `key:"at,required" doc:"running distance of each rafter's centre line from the left face, along the eave"`
	Width *length.Length  `key:"width" doc:"width of the top face"`
	Depth *length.Length  `key:"depth" doc:"depth"`
}

// Verges are the members that the edge channels are screwed to.
type Verges struct {
	Width *length.Length `key:"width" doc:"width of the top face of the verge member; the channel screws must land on it"`
}

// KeepOff is a place that clip screws must miss.
type KeepOff struct {
	What  string         `key:"what,required" doc:"post, bolt, joint, gap"`
	Left  length.Length  `key:"from_left,required" doc:"its centre from the left face, along the eave"`
	Eave  *length.Length `key:"from_eave" doc:"its centre from the eave face; the whole slope if left out"`
	Width length.Length  `key:"width,required" doc:"width to keep clear"`
}

// Wishes steer the choice of the set-out where the roof leaves one.
type Wishes struct {
	Start     string         `key:"start" enum:"auto|left|right|middle" doc:"where laying begins; auto if left out"`
	Seams     string         `key:"seams" enum:"auto|square to eave|along left verge|along right verge|least taper" doc:"direction of the seams; auto if left out"`
	FirstSeam *length.Length `key:"first_seam" doc:"fixes the first seam at this distance from the left face, along the eave; searched if left out"`
	SetIn     *length.Length `key:"set_in" doc:"fixes how far both edge channels sit in from the frame face; searched if left out"`
	Paper     string         `key:"paper" enum:"A4|Letter" doc:"paper size; Letter in an inch job, A4 in a metric one if left out"`
	Language  string         `key:"language" enum:"en|de" doc:"language of the papers: English or German; English if left out"`
}
