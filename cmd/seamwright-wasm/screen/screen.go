// Package screen makes what the page shows of a job: the board drawing with a
// place for every reading, the findings with where they hang, and the words of
// each stage. The page computes nothing: it sends the job as text and paints
// what comes back.
//
// A job in the page is the job file as JSON, complete or not. Every change the
// page may make is offered here as an Edit.
package screen

// Request asks for one view of a job.
type Request struct {
	Doc    string    `json:"doc"`    // the job file, JSON
	Stage  string    `json:"stage"`  // one of Stages
	Plane  int       `json:"plane"`  // which roof plane
	Width  float64   `json:"width"`  // of the board, CSS pixels
	Height float64   `json:"height"` // of the board
	Slot   string    `json:"slot"`   // the reading in hand, or empty
	Marked string    `json:"marked"` // finding that is looked at, or empty
	Full   bool      `json:"full"`   // with loads and checks, which take their time
	Step   string    `json:"step"`   // step of the work in hand, or empty for the first
	Purlin int       `json:"purlin"` // purlin whose marks are shown
	Done   []string  `json:"done"`   // steps ticked
	Reads  []Reading `json:"reads"`  // of rows and verges, on the roof

	Trouble string `json:"trouble"` // what a customer called back about, or empty
	Where   string `json:"where"`   // panel or seam it is at, if it is not the slot in hand
}

// Reading is how many divisions of the tape a row or a verge lies off what was
// planned on one purlin; past it in the direction of work is positive.
type Reading struct {
	Of     string `json:"of"` // seam, or edge panel
	Purlin string `json:"purlin"`
	Ticks  int    `json:"ticks"`
}

// View is everything the page shows.
type View struct {
	Troubles   []Trouble `json:"troubles"` // what makes the job unreadable; the rest is then empty
	Stage      string    `json:"stage"`    // the one asked for
	Head       Head      `json:"head"`
	Board      Board     `json:"board"`
	Slots      []Slot    `json:"slots"` // in tape order
	Verdict    Verdict   `json:"verdict"`
	Next       *Next     `json:"next"`
	Findings   []Finding `json:"findings"` // stops first
	Short      Short     `json:"short"`
	Fields     []Field   `json:"fields"` // lines of the title block for this stage
	SetOut     *SetOut   `json:"set_out"`
	Order      *Order    `json:"order"`
	Price      *Price    `json:"price"`
	Work       *Work     `json:"work"`
	Checks     *Checks   `json:"checks"`
	After      *After    `json:"after"`
	NotChecked []string  `json:"not_checked"`
	Assumed    []string  `json:"assumed"`
}

// Trouble is a fault in the text of the job, with the words of the reader.
type Trouble struct {
	Path string `json:"path"`
	Text string `json:"text"`
	Note bool   `json:"note"` // worth a look; the job is usable all the same
}

// Head is the job in one line.
type Head struct {
	Name     string   `json:"name"`
	Number   string   `json:"number"`
	Customer string   `json:"customer"`
	Units    string   `json:"units"` // "inch" or "mm"
	Tick     string   `json:"tick"`  // smallest division of the tape, for the keypad: "1/16", "1/32", "1", "0.5"
	Planes   []string `json:"planes"`
}

// Board is the drawing.
type Board struct {
	SVG  string `json:"svg"`  // fills the board; elements carry data-slot, data-id or data-finding
	Say  string `json:"say"`  // the drawing in words
	Skew int    `json:"skew"` // how many times the skew is enlarged
}

// Slot is a place on the drawing where something is written.
type Slot struct {
	ID    string   `json:"id"`
	Kind  string   `json:"kind"` // "length" or "choice"
	Name  string   `json:"name"` // "eave"
	Sub   string   `json:"sub"`  // "A to B"
	Text  string   `json:"text"` // the value on the tape; empty if not yet read
	Say   string   `json:"say"`  // value in words
	Parts Parts    `json:"parts"`
	Path  []string `json:"path"`  // where in the job it stands
	X     float64  `json:"x"`     // middle of its label on the board
	Y     float64  `json:"y"`     //
	W     float64  `json:"w"`     // of the touch target
	H     float64  `json:"h"`     //
	Next  string   `json:"next"`  // slot that follows in tape order
	Clear bool     `json:"clear"` // may be rubbed out altogether
	Acts  []Act    `json:"acts"`  // choices of a slot of kind "choice"
}

// Parts is a length taken apart for the keypad.
type Parts struct {
	Set   bool `json:"set"`
	Feet  int  `json:"feet"`
	Whole int  `json:"whole"` // inches, or millimetres
	Num   int  `json:"num"`   // of the fraction
	Den   int  `json:"den"`   // 0 without fraction
}

// Act is something to do about the job: a name and the edits it makes.
type Act struct {
	Name  string `json:"name"`
	On    bool   `json:"on"` // it is so already
	Edits []Edit `json:"edits"`
}

// Edit sets or removes one value of the job. Path elements that are digits
// index lists.
type Edit struct {
	Path   []string `json:"path"`
	Value  string   `json:"value"`  // JSON text; ignored if Remove
	Remove bool     `json:"remove"` //
}

// Verdict is what the readings say of the frame.
type Verdict struct {
	State string `json:"state"` // "empty", "part", "square", "off", "misread"
	Title string `json:"title"`
	Text  string `json:"text"`
}

// Next is the next tape worth taking.
type Next struct {
	What string `json:"what"`
	Why  string `json:"why"`
	Slot string `json:"slot"`
}

// Finding is something the plan noticed, hung on the drawing.
type Finding struct {
	ID     string  `json:"id"`
	Level  string  `json:"level"`
	Code   string  `json:"code"`
	Where  string  `json:"where"`
	What   string  `json:"what"`
	Why    string  `json:"why"`
	Do     string  `json:"do"`
	Source string  `json:"source"`
	Late   bool    `json:"late"`   // known only once the checks have run; set by the page
	Placed bool    `json:"placed"` // X and Y mean something
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Slot   string  `json:"slot"`  // slot that mends it
	Stage  string  `json:"stage"` // stage where it is mended
	Acts   []Act   `json:"acts"`
}

// Short is the roof in a handful of figures.
type Short struct {
	Ready   bool   `json:"ready"`
	Sheets  string `json:"sheets"`
	Rips    string `json:"rips"`
	Length  string `json:"length"`
	Purlins string `json:"purlins"`
	Stops   int    `json:"stops"`
	Warns   int    `json:"warns"`
	Price   string `json:"price"`
	Badge   string `json:"badge"` // "wind not checked yet"
}

// Field is a line of the title block: a choice between acts, or free text that
// the reader of job files judges.
type Field struct {
	ID    string   `json:"id"`
	Name  string   `json:"name"`
	Help  string   `json:"help"`
	Kind  string   `json:"kind"` // "choice", "text", "number"
	With  []Edit   `json:"with"` // made together with the first writing
	Value string   `json:"value"`
	Path  []string `json:"path"`
	Acts  []Act    `json:"acts"`
}

// SetOut holds the ways to set the plane out, the one taken first.
type SetOut struct {
	Rows    []string `json:"rows"` // names of the figures of each option
	Options []Option `json:"options"`
	Posts   string   `json:"posts"` // what the dashed lines stand for
	Free    *Act     `json:"free"`  // gives the choice back to the engine
}

// Option is one way to set a plane out.
type Option struct {
	Letter string   `json:"letter"`
	Strip  string   `json:"strip"` // small SVG
	Chosen bool     `json:"chosen"`
	Cells  []string `json:"cells"`
	Bad    []bool   `json:"bad"` // cell names a fault
	Reason string   `json:"reason"`
	Keep   Act      `json:"keep"`
}

// Order is what to buy and how to cut it.
type Order struct {
	Goods []Tick     `json:"goods"` // goods-in ticks
	Kinds []SawKind  `json:"kinds"`
	Parts []PartLine `json:"parts"`
	Van   []string   `json:"van"`
}

// Tick is a line to tick; ID is stable while the line reads the same.
type Tick struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

// SawKind is the saw plan of one kind of piece.
type SawKind struct {
	Name   string   `json:"name"`
	Words  string   `json:"words"`
	Bought []string `json:"bought"`
	Bars   []SawBar `json:"bars"`
}

// SawBar is one sheet or bar, or several cut alike.
type SawBar struct {
	Marks string   `json:"marks"`
	SVG   string   `json:"svg"`
	Cuts  []string `json:"cuts"`
	Left  string   `json:"left"`
}

// PartLine is hardware by count.
type PartLine struct {
	Name  string `json:"name"`
	Count string `json:"count"`
	Rule  string `json:"rule"`
}

// Price is the bill.
type Price struct {
	Currency string      `json:"currency"`
	Material []PriceLine `json:"material"`
	Labour   []PriceLine `json:"labour"`
	Sums     []PriceLine `json:"sums"`
	Total    string      `json:"total"`
	Net      string      `json:"net"`
	PerArea  string      `json:"per_area"`
	Waste    string      `json:"waste"`
}

// PriceLine is one line of it.
type PriceLine struct {
	What   string `json:"what"`
	Count  string `json:"count"`
	Amount string `json:"amount"`
}

// Work is the building of the roof, step by step.
type Work struct {
	Steps    []Step   `json:"steps"`
	Now      int      `json:"now"` // index of the step in hand
	Mark     string   `json:"mark"`
	MarkSay  string   `json:"mark_say"`
	From     string   `json:"from"`
	Strip    string   `json:"strip"` // SVG of the tape for this purlin
	Purlins  []string `json:"purlins"`
	Purlin   int      `json:"purlin"`
	Detail   string   `json:"detail"` // SVG of what the hand does
	Weather  []string `json:"weather"`
	Cautions []string `json:"cautions"`
	Landing  *Landing `json:"landing"` // what is read at this step
	Cap      *CapWord `json:"cap"`
}

// Landing is a reading asked for on the roof, and what follows from it.
type Landing struct {
	Of       string    `json:"of"`
	Question string    `json:"question"`
	Read     bool      `json:"read"`
	Whole    bool      `json:"whole"` // Text is the whole reading, not how far it is off
	Ticks    int       `json:"ticks"`
	Text     string    `json:"text"`
	Say      string    `json:"say"`
	Count    int       `json:"count"`   // purlins read
	Gauge    string    `json:"gauge"`   // SVG
	Verdict  string    `json:"verdict"` // "go on", "correct", "lift", "read again", "rip", or empty
	Words    string    `json:"words"`
	Why      string    `json:"why"`
	Do       string    `json:"do"`
	Notes    []Finding `json:"notes"`
}

// CapWord says whether a cap may go on.
type CapWord struct {
	May   bool   `json:"may"`
	Words string `json:"words"`
}

// Step is one thing to do.
type Step struct {
	ID    string `json:"id"`
	Hold  bool   `json:"hold"`
	Phase string `json:"phase"`
	Title string `json:"title"`
	Text  string `json:"text"`
	Panel string `json:"panel"`
	Seam  string `json:"seam"`
}

// Checks is the chain of checks, weakest link first. A verdict speaks only of
// the links that were compared.
type Checks struct {
	Verdict string   `json:"verdict"`
	Text    string   `json:"text"`
	Links   []Link   `json:"links"`
	Ask     []string `json:"ask"` // what to ask the supplier for
}

// Link is one check.
type Link struct {
	Name   string  `json:"name"`
	Where  string  `json:"where"`
	State  string  `json:"state"` // "held", "over", "not checked"
	Ratio  float64 `json:"ratio"` // demand over capacity
	Text   string  `json:"text"`
	Case   string  `json:"case"` // combination that governs
	Source string  `json:"source"`
}

// Starter is a job to begin with.
type Starter struct {
	Name string `json:"name"`
	Doc  string `json:"doc"` // JSON
	Demo bool   `json:"demo"`
}

// The stages of a job, in order.
const (
	Measure = "measure"
	Roof    = "roof"
	Setting = "setout"
	Loads   = "checks"
	Pricing = "price"
	Buying  = "order"
	Paper   = "papers"
	Build   = "build"
	Later   = "after"
)
