package exports

import (
	"bytes"
	"fmt"
	"maps"
	"slices"

	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/engine/takeoff"
	"seamwright/papers"
)

// IFC writes the roof as an IFC4 file (ISO 16739-1): project, site, building,
// storey, one IfcRoof for each plane with its panels, caps, channels and
// closures, and the timber as members and beams. Every body is a swept solid;
// lengths are millimetres. No model view definition is claimed.
func IFC(p plan.Plan, j job.Job, o papers.Options) ([]byte, error) {
	w := ifcWriter{plan: p, job: j, opt: o, model: newModel(p, j), by: map[string]list{}}
	w.basics()
	w.spatial()
	for _, pl := range w.model.planes {
		w.roof(pl)
	}
	w.relate()
	return w.file(), nil
}

type ifcWriter struct {
	step
	plan  plan.Plan
	job   job.Job
	opt   papers.Options
	model model

	owner, body, axis, project ref
	storey, storeyAt           ref
	styles                     map[int]ref
	inStorey                   list
	by                         map[string]list // elements by material
}

// id is the deterministic GUID of a thing of this job.
func (w *ifcWriter) id(identity string) string {
	return guid(w.plan.Job.Number+"\x00"+w.plan.Job.Name, identity)
}

func text(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func (w *ifcWriter) point(v vec) ref {
	return w.add("IFCCARTESIANPOINT", list{v[0], v[1], v[2]})
}
func (w *ifcWriter) direction(v vec) ref { return w.add("IFCDIRECTION", list{v[0], v[1], v[2]}) }

func (w *ifcWriter) placement(a axes) ref {
	return w.add("IFCAXIS2PLACEMENT3D", w.point(a.o), w.direction(a.z), w.direction(a.x))
}

var level = axes{x: vec{1, 0, 0}, y: vec{0, 1, 0}, z: vec{0, 0, 1}}

func (w *ifcWriter) basics() {
	person := w.add("IFCPERSON", "not stated", nil, nil, nil, nil, nil, nil, nil)
	firm := w.opt.Issuer
	if firm == "" {
		firm = w.plan.Job.Shop
	}
	org := w.add("IFCORGANIZATION", nil, named("not stated", firm), nil, nil, nil)
	who := w.add("IFCPERSONANDORGANIZATION", person, org, nil)
	maker := w.add("IFCORGANIZATION", nil, "Seamwright", nil, nil, nil)
	app := w.add("IFCAPPLICATION", maker, fmt.Sprintf("plan format %d", plan.Format), "Seamwright", "seamwright")
	created := 0
	if !w.opt.Date.IsZero() {
		created = int(w.opt.Date.Unix())
	}
	w.owner = w.add("IFCOWNERHISTORY", who, app, nil, nil, nil, nil, nil, created)
	context := w.add("IFCGEOMETRICREPRESENTATIONCONTEXT", nil, "Model", 3, 0.001, w.placement(level), nil)
	sub := func(name, view string) ref {
		return w.add("IFCGEOMETRICREPRESENTATIONSUBCONTEXT", name, "Model", derived{}, derived{}, derived{}, derived{}, context, nil, enum(view), nil)
	}
	w.body, w.axis = sub("Body", "MODEL_VIEW"), sub("Axis", "GRAPH_VIEW")
	units := w.add("IFCUNITASSIGNMENT", list{
		w.add("IFCSIUNIT", derived{}, enum("LENGTHUNIT"), enum("MILLI"), enum("METRE")),
		w.add("IFCSIUNIT", derived{}, enum("AREAUNIT"), nil, enum("SQUARE_METRE")),
		w.add("IFCSIUNIT", derived{}, enum("VOLUMEUNIT"), nil, enum("CUBIC_METRE")),
		w.add("IFCSIUNIT", derived{}, enum("PLANEANGLEUNIT"), nil, enum("RADIAN")),
		w.add("IFCSIUNIT", derived{}, enum("MASSUNIT"), enum("KILO"), enum("GRAM")),
	})
	note := "Set-out of a panel roof. Not a structural model: nothing in it has been proved to carry."
	if finding.HasStop(w.plan.Findings) {
		note = "THE PLAN HOLDS A STOP: do not order, cut or build from this model. " + note
	}
	w.project = w.add("IFCPROJECT", w.id("project"), w.owner, named("roof", w.plan.Job.Name), note, nil, text(w.plan.Job.Number), nil, list{context}, units)
	w.styles = map[int]ref{}
}

// style is the look of a material of the model.
func (w *ifcWriter) style(material int) ref {
	if s, ok := w.styles[material]; ok {
		return s
	}
	g := glbWriter{plan: w.plan}
	g.materials()
	m := g.out.Materials[material]
	c := m.PBR.Colour
	colour := w.add("IFCCOLOURRGB", nil, c[0], c[1], c[2])
	look := w.add("IFCSURFACESTYLERENDERING", colour, 1-c[3], nil, nil, nil, nil, nil, nil, enum("NOTDEFINED"))
	w.styles[material] = w.add("IFCSURFACESTYLE", m.Name, enum("BOTH"), list{look})
	return w.styles[material]
}

func (w *ifcWriter) spatial() {
	siteAt := w.add("IFCLOCALPLACEMENT", nil, w.placement(level))
	buildingAt := w.add("IFCLOCALPLACEMENT", siteAt, w.placement(level))
	w.storeyAt = w.add("IFCLOCALPLACEMENT", buildingAt, w.placement(level))
	site := w.add("IFCSITE", w.id("site"), w.owner, "Site", text(w.plan.Job.Address), nil, siteAt, nil, nil, enum("ELEMENT"), nil, nil, nil, nil, nil)
	building := w.add("IFCBUILDING", w.id("building"), w.owner, "Cover", nil, nil, buildingAt, nil, nil, enum("ELEMENT"), nil, nil, nil)
	w.storey = w.add("IFCBUILDINGSTOREY", w.id("storey"), w.owner, "Roof", w.model.level, nil, w.storeyAt, nil, nil, enum("ELEMENT"), 0.0)
	w.aggregate("project", w.project, list{site})
	w.aggregate("site", site, list{building})
	w.aggregate("building", building, list{w.storey})
}

func (w *ifcWriter) aggregate(name string, whole ref, parts list) {
	w.add("IFCRELAGGREGATES", w.id("parts of "+name), w.owner, nil, nil, whole, parts)
}

func (w *ifcWriter) roof(pl planeModel) {
	at := w.add("IFCLOCALPLACEMENT", w.storeyAt, w.placement(level))
	roof := w.add("IFCROOF", w.id("plane "+pl.name), w.owner, pl.name, nil, nil, at, nil, nil, enum(roofKind(w.model)))
	var parts list
	for _, x := range pl.parts {
		e := w.element(x)
		if x.piece != nil || x.kind == takeoff.Closure {
			parts = append(parts, e)
		} else {
			w.inStorey = append(w.inStorey, e)
		}
	}
	w.inStorey = append(w.inStorey, roof)
	if len(parts) > 0 {
		w.aggregate("plane "+pl.name, roof, parts)
	}
}

// roofKind calls a plane that stands alone a shed roof; of several the job says
// too little to name the whole.
func roofKind(m model) string {
	if len(m.planes) == 1 {
		return "SHED_ROOF"
	}
	return "NOTDEFINED"
}

// element writes a part with its placement, its body and its properties.
func (w *ifcWriter) element(x part) ref {
	at := w.add("IFCLOCALPLACEMENT", w.storeyAt, w.placement(x.at))
	shape := w.add("IFCPRODUCTDEFINITIONSHAPE", nil, nil, list{w.shape(x)})
	entity, kind, object := entityOf(x.kind)
	var description any
	if x.piece != nil {
		description = text(x.piece.Remark)
	}
	e := w.add(entity, w.id(x.kind+" "+x.id), w.owner, x.id, description, object, at, shape, x.id, enum(kind))
	w.properties(x, e)
	if m := w.material(x); m != "" {
		w.by[m] = append(w.by[m], e)
	}
	return e
}

// entityOf gives the class, the predefined type and the words of a kind.
func entityOf(kind string) (entity, predefined string, object any) {
	switch kind {
	case takeoff.Panel:
		return "IFCPLATE", "SHEET", nil
	case takeoff.Closure:
		return "IFCDISCRETEACCESSORY", "USERDEFINED", "closure"
	case takeoff.Cap:
		return "IFCMEMBER", "USERDEFINED", "seam cap"
	case takeoff.Channel:
		return "IFCMEMBER", "USERDEFINED", "edge channel"
	case purlin:
		return "IFCMEMBER", "PURLIN", nil
	case rafter:
		return "IFCMEMBER", "RAFTER", nil
	case post:
		return "IFCMEMBER", "POST", nil
	default:
		return "IFCBEAM", "BEAM", nil
	}
}

// shape sweeps the profile along z of the part; without a profile it is the axis.
func (w *ifcWriter) shape(x part) ref {
	if x.profile == nil {
		line := w.add("IFCPOLYLINE", list{w.point(vec{}), w.point(vec{0, 0, x.depth})})
		return w.add("IFCSHAPEREPRESENTATION", w.axis, "Axis", "Curve3D", list{line})
	}
	var pts list
	for _, q := range append(x.profile[:len(x.profile):len(x.profile)], x.profile[0]) {
		pts = append(pts, w.add("IFCCARTESIANPOINT", list{q[0], q[1]}))
	}
	area := w.add("IFCARBITRARYCLOSEDPROFILEDEF", enum("AREA"), nil, w.add("IFCPOLYLINE", pts))
	solid := w.add("IFCEXTRUDEDAREASOLID", area, w.placement(level), w.direction(vec{0, 0, 1}), x.depth)
	w.add("IFCSTYLEDITEM", solid, list{w.style(materialOf(x))}, nil)
	return w.add("IFCSHAPEREPRESENTATION", w.body, "Body", "SweptSolid", list{solid})
}

func (w *ifcWriter) material(x part) string {
	switch x.kind {
	case takeoff.Panel:
		return named("panel", w.plan.System.Title) + ", " + named("no tint", w.plan.System.Tint)
	case takeoff.Cap, takeoff.Channel, takeoff.Closure:
		return ""
	}
	if w.job.Timber != nil && w.job.Timber.Grade != "" {
		return "timber, " + w.job.Timber.Grade
	}
	return "timber"
}

// properties hang what is known of a part on it: our own set, and the base
// quantities that IFC4 names for plates and members.
func (w *ifcWriter) properties(x part, e ref) {
	value := func(name, kind string, v any) ref {
		return w.add("IFCPROPERTYSINGLEVALUE", name, nil, typed{kind, v}, nil)
	}
	props := list{value("Identity", "IFCIDENTIFIER", x.id), value("Kind", "IFCLABEL", x.kind), value("Plane", "IFCLABEL", x.plane)}
	if x.piece != nil {
		props = append(props, value("CutLength", "IFCPOSITIVELENGTHMEASURE", x.piece.Length.MM()), value("RipAfterReading", "IFCBOOLEAN", x.piece.Rip != nil))
		if x.bar != "" {
			props = append(props, value("StockMark", "IFCIDENTIFIER", x.bar))
		}
	}
	if x.kind == purlin {
		props = append(props, value("ToBeAdded", "IFCBOOLEAN", x.added))
	}
	set := w.add("IFCPROPERTYSET", w.id("properties of "+x.kind+" "+x.id), w.owner, "Seamwright_Piece", nil, props)
	w.add("IFCRELDEFINESBYPROPERTIES", w.id("has properties "+x.kind+" "+x.id), w.owner, nil, nil, list{e}, set)
	name, qs := "Qto_MemberBaseQuantities", list{w.add("IFCQUANTITYLENGTH", "Length", nil, nil, x.long.MM(), nil)}
	switch x.kind {
	case takeoff.Panel:
		name, qs = "Qto_PlateBaseQuantities", list{w.add("IFCQUANTITYLENGTH", "Width", nil, nil, x.depth, nil), w.add("IFCQUANTITYAREA", "NetArea", nil, nil, x.area, nil)}
	case beam:
		name = "Qto_BeamBaseQuantities"
	case takeoff.Closure:
		return
	}
	q := w.add("IFCELEMENTQUANTITY", w.id("quantities of "+x.kind+" "+x.id), w.owner, name, nil, nil, qs)
	w.add("IFCRELDEFINESBYPROPERTIES", w.id("has quantities "+x.kind+" "+x.id), w.owner, nil, nil, list{e}, q)
}

func (w *ifcWriter) relate() {
	if len(w.inStorey) > 0 {
		w.add("IFCRELCONTAINEDINSPATIALSTRUCTURE", w.id("in the storey"), w.owner, nil, nil, w.inStorey, w.storey)
	}
	for _, name := range slices.Sorted(maps.Keys(w.by)) {
		m := w.add("IFCMATERIAL", name, nil, nil)
		w.add("IFCRELASSOCIATESMATERIAL", w.id("of "+name), w.owner, nil, nil, w.by[name], m)
	}
	var notes list
	for i, n := range append(modelNotes(w.model), w.plan.NotChecked...) {
		title := fmt.Sprintf("Note%d", i+1)
		if i >= len(modelNotes(w.model)) {
			title = fmt.Sprintf("NotChecked%d", i+1-len(modelNotes(w.model)))
		}
		notes = append(notes, w.add("IFCPROPERTYSINGLEVALUE", title, nil, typed{"IFCTEXT", n}, nil))
	}
	set := w.add("IFCPROPERTYSET", w.id("notes"), w.owner, "Seamwright_Notes", nil, notes)
	w.add("IFCRELDEFINESBYPROPERTIES", w.id("has notes"), w.owner, nil, nil, list{w.project}, set)
}

// file puts the header before the data. Without a date the time stamp is the
// start of the Unix epoch, so that the same plan gives the same bytes.
func (w *ifcWriter) file() []byte {
	stamp := "1970-01-01T00:00:00"
	if !w.opt.Date.IsZero() {
		stamp = w.opt.Date.UTC().Format("2006-01-02T15:04:05")
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((%s),'2;1');\n", stepText("Set-out of a panel roof; no model view definition is claimed"))
	fmt.Fprintf(&b, "FILE_NAME(%s,'%s',(''),(%s),'Seamwright','Seamwright','');\n", stepText(IFCFile), stamp, stepText(w.plan.Job.Shop))
	fmt.Fprint(&b, "FILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n")
	b.Write(w.b.Bytes())
	fmt.Fprint(&b, "ENDSEC;\nEND-ISO-10303-21;\n")
	return b.Bytes()
}
