package exports

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/engine/takeoff"
)

// Constants of glTF 2.0 (Khronos 3D Formats, glTF 2.0.1, 3.6.2 and 4.4).
const (
	glbMagic   = 0x46546C67
	chunkJSON  = 0x4E4F534A
	chunkBIN   = 0x004E4942
	floatType  = 5126
	shortType  = 5123
	vertexData = 34962
	indexData  = 34963
	drawLines  = 1
)

type gltf struct {
	Asset       gltfAsset        `json:"asset"`
	Scene       int              `json:"scene"`
	Scenes      []gltfScene      `json:"scenes"`
	Nodes       []gltfNode       `json:"nodes"`
	Meshes      []gltfMesh       `json:"meshes"`
	Materials   []gltfMaterial   `json:"materials"`
	Accessors   []gltfAccessor   `json:"accessors"`
	BufferViews []gltfBufferView `json:"bufferViews"`
	Buffers     []gltfBuffer     `json:"buffers"`
}

type gltfAsset struct {
	Version   string `json:"version"`
	Generator string `json:"generator"`
}

type gltfScene struct {
	Name   string         `json:"name"`
	Nodes  []int          `json:"nodes"`
	Extras map[string]any `json:"extras,omitempty"`
}

type gltfNode struct {
	Name     string         `json:"name"`
	Mesh     *int           `json:"mesh,omitempty"`
	Children []int          `json:"children,omitempty"`
	Extras   map[string]any `json:"extras,omitempty"`
}

type gltfMesh struct {
	Name       string          `json:"name"`
	Primitives []gltfPrimitive `json:"primitives"`
}

type gltfPrimitive struct {
	Attributes map[string]int `json:"attributes"`
	Indices    int            `json:"indices"`
	Material   int            `json:"material"`
	Mode       *int           `json:"mode,omitempty"`
}

type gltfMaterial struct {
	Name        string  `json:"name"`
	PBR         gltfPBR `json:"pbrMetallicRoughness"`
	AlphaMode   string  `json:"alphaMode,omitempty"`
	DoubleSided bool    `json:"doubleSided,omitempty"`
}

type gltfPBR struct {
	Colour    [4]float64 `json:"baseColorFactor"`
	Metallic  float64    `json:"metallicFactor"`
	Roughness float64    `json:"roughnessFactor"`
}

type gltfAccessor struct {
	View      int       `json:"bufferView"`
	Offset    int       `json:"byteOffset,omitempty"`
	Component int       `json:"componentType"`
	Count     int       `json:"count"`
	Type      string    `json:"type"`
	Min       []float64 `json:"min,omitempty"`
	Max       []float64 `json:"max,omitempty"`
}

type gltfBufferView struct {
	Buffer int `json:"buffer"`
	Offset int `json:"byteOffset,omitempty"`
	Length int `json:"byteLength"`
	Stride int `json:"byteStride,omitempty"`
	Target int `json:"target"`
}

type gltfBuffer struct {
	Length int `json:"byteLength"`
}

// GLB writes the roof as a binary glTF 2.0 file: metres, y up, the eave of the
// first plane along x. Each piece is a node that carries its identity as name;
// what else is known of it stands in extras.
func GLB(p plan.Plan, j job.Job) ([]byte, error) {
	w := glbWriter{plan: p}
	m := newModel(p, j)
	w.materials()
	root := w.node(gltfNode{Name: named("roof", p.Job.Name), Extras: map[string]any{"notes": modelNotes(m), "not_checked": p.NotChecked, "stopped": finding.HasStop(p.Findings)}})
	w.out.Scenes = []gltfScene{{Name: named("roof", p.Job.Name), Nodes: []int{root}}}
	for _, pl := range m.planes {
		at := w.node(gltfNode{Name: "plane " + pl.name})
		w.out.Nodes[root].Children = append(w.out.Nodes[root].Children, at)
		children := []int{w.frameLine(pl)}
		for _, x := range pl.parts {
			children = append(children, w.part(x))
		}
		w.out.Nodes[at].Children = children
	}
	return w.bytes()
}

func named(otherwise, s string) string {
	if strings.TrimSpace(s) == "" {
		return otherwise
	}
	return s
}

type glbWriter struct {
	plan      plan.Plan
	out       gltf
	positions bytes.Buffer
	normals   bytes.Buffer
	indices   bytes.Buffer
}

func (w *glbWriter) node(n gltfNode) int {
	w.out.Nodes = append(w.out.Nodes, n)
	return len(w.out.Nodes) - 1
}

// The materials by index.
const (
	matPanel = iota
	matTimber
	matAdded
	matMetal
	matLine
)

func (w *glbWriter) materials() {
	r, g, b, a := tintOf(w.plan)
	mat := func(name string, r, g, b, a, metal float64) gltfMaterial {
		return gltfMaterial{Name: name, PBR: gltfPBR{Colour: [4]float64{r, g, b, a}, Metallic: metal, Roughness: 0.6}}
	}
	panel := mat("panel, "+named("no tint", w.plan.System.Tint), r, g, b, a, 0)
	panel.AlphaMode = "BLEND"
	w.out.Materials = []gltfMaterial{panel, mat("timber", 0.62, 0.45, 0.27, 1, 0), mat("timber to add", 0.85, 0.55, 0.2, 1, 0), mat("metal", 0.55, 0.57, 0.6, 1, 0.6), mat("line", 0.1, 0.1, 0.1, 1, 0)}
}

// tintOf gives a colour for the tint and how much of what lies behind it is
// hidden: the less light it lets through, the more.
func tintOf(p plan.Plan) (r, g, b, a float64) {
	a = min(max(1-float64(p.System.Light), 0.2), 0.9)
	for _, c := range []struct {
		word    string
		r, g, b float64
	}{
		{"clear", 0.5, 0.72, 0.85}, {"opal", 0.95, 0.95, 0.95}, {"white", 0.95, 0.95, 0.95}, {"bronze", 0.45, 0.3, 0.18}, {"brown", 0.45, 0.3, 0.18},
		{"grey", 0.4, 0.42, 0.45}, {"gray", 0.4, 0.42, 0.45}, {"green", 0.3, 0.55, 0.4}, {"blue", 0.3, 0.45, 0.65},
	} {
		if strings.Contains(strings.ToLower(p.System.Tint), c.word) {
			return c.r, c.g, c.b, a
		}
	}
	return 0.7, 0.75, 0.78, a
}

func materialOf(x part) int {
	switch x.kind {
	case takeoff.Panel:
		return matPanel
	case takeoff.Cap, takeoff.Channel, takeoff.Closure:
		return matMetal
	case purlin:
		if x.added {
			return matAdded
		}
	}
	return matTimber
}

// metres turns a world point into glTF's: metres, y up.
func metres(v vec) vec { return vec{v[0] / 1000, v[2] / 1000, -v[1] / 1000} }

func (w *glbWriter) part(x part) int {
	extras := map[string]any{"kind": x.kind, "plane": x.plane, "length_mm": x.long.MM()}
	if x.area > 0 {
		extras["area_m2"] = round(x.area, 6)
	}
	if x.piece != nil {
		extras["cut_length_mm"] = x.piece.Length.MM()
		if x.bar != "" {
			extras["stock"] = x.bar
		}
		if x.piece.Remark != "" {
			extras["remark"] = x.piece.Remark
		}
	}
	var mesh int
	if x.profile == nil {
		mesh = w.lines(x.id, []vec{x.at.o, x.at.at(0, 0, x.depth)})
	} else {
		mesh = w.solid(x)
	}
	return w.node(gltfNode{Name: x.id, Mesh: &mesh, Extras: extras})
}

// frameLine draws the frame as measured.
func (w *glbWriter) frameLine(pl planeModel) int {
	var pts []vec
	for i, q := range pl.outline {
		r := pl.outline[(i+1)%len(pl.outline)]
		pts = append(pts, pl.at.at(q[0], q[1], 0), pl.at.at(r[0], r[1], 0))
	}
	mesh := w.lines("frame as measured", pts)
	return w.node(gltfNode{Name: "frame as measured, " + pl.name, Mesh: &mesh})
}

// solid writes the prism with flat faces: two ends and one wall for each side.
func (w *glbWriter) solid(x part) int {
	var f face
	a := x.at
	tri := x.profile.triangles()
	for _, end := range []struct {
		z    float64
		n    vec
		flip bool
	}{{0, a.z.times(-1), true}, {x.depth, a.z, false}} {
		base := len(f.at)
		for _, q := range x.profile {
			f.point(a.at(q[0], q[1], end.z), end.n)
		}
		for _, t := range tri {
			if end.flip {
				t[1], t[2] = t[2], t[1]
			}
			f.index = append(f.index, base+t[0], base+t[1], base+t[2])
		}
	}
	for i, q := range x.profile {
		r := x.profile[(i+1)%len(x.profile)]
		du, dv := r[0]-q[0], r[1]-q[1]
		l := math.Hypot(du, dv)
		if l == 0 {
			continue
		}
		n := a.x.times(dv / l).sub(a.y.times(du / l))
		base := len(f.at)
		f.point(a.at(q[0], q[1], 0), n)
		f.point(a.at(r[0], r[1], 0), n)
		f.point(a.at(r[0], r[1], x.depth), n)
		f.point(a.at(q[0], q[1], x.depth), n)
		f.index = append(f.index, base, base+1, base+2, base, base+2, base+3)
	}
	pos := w.accessor(&w.positions, 0, f.at, true)
	nor := w.accessor(&w.normals, 1, f.normal, false)
	w.out.Meshes = append(w.out.Meshes, gltfMesh{Name: x.id, Primitives: []gltfPrimitive{{
		Attributes: map[string]int{"POSITION": pos, "NORMAL": nor}, Indices: w.index(f.index), Material: materialOf(x)}}})
	return len(w.out.Meshes) - 1
}

func (w *glbWriter) lines(name string, pts []vec) int {
	mode := drawLines
	var at []vec
	var index []int
	for i, p := range pts {
		at = append(at, metres(p))
		index = append(index, i)
	}
	pos := w.accessor(&w.positions, 0, at, true)
	w.out.Meshes = append(w.out.Meshes, gltfMesh{Name: name, Primitives: []gltfPrimitive{{
		Attributes: map[string]int{"POSITION": pos}, Indices: w.index(index), Material: matLine, Mode: &mode}}})
	return len(w.out.Meshes) - 1
}

// face gathers vertices in glTF's coordinates.
type face struct {
	at, normal []vec
	index      []int
}

func (f *face) point(p, n vec) {
	f.at = append(f.at, metres(p))
	f.normal = append(f.normal, vec{n[0], n[2], -n[1]})
}

// accessor writes vectors as 32-bit floats. A position carries its bounds, taken
// from the rounded values, as the format asks.
func (w *glbWriter) accessor(to *bytes.Buffer, view int, vs []vec, bounds bool) int {
	a := gltfAccessor{View: view, Offset: to.Len(), Component: floatType, Count: len(vs), Type: "VEC3"}
	lo, hi := []float64{math.Inf(1), math.Inf(1), math.Inf(1)}, []float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, v := range vs {
		for i := range v {
			// A nanometre is far below any saw; rounding to it keeps the last
			// bit of a sine from changing the file between processors.
			f := float32(round(v[i], 9))
			to.Write(binary.LittleEndian.AppendUint32(to.AvailableBuffer(), math.Float32bits(f)))
			lo[i], hi[i] = min(lo[i], float64(f)), max(hi[i], float64(f))
		}
	}
	if bounds {
		a.Min, a.Max = lo, hi
	}
	w.out.Accessors = append(w.out.Accessors, a)
	return len(w.out.Accessors) - 1
}

func (w *glbWriter) index(is []int) int {
	a := gltfAccessor{View: 2, Offset: w.indices.Len(), Component: shortType, Count: len(is), Type: "SCALAR"}
	for _, i := range is {
		w.indices.Write(binary.LittleEndian.AppendUint16(w.indices.AvailableBuffer(), uint16(i)))
	}
	w.out.Accessors = append(w.out.Accessors, a)
	return len(w.out.Accessors) - 1
}

// round rounds to n decimals and never gives -0.
func round(f float64, n int) float64 {
	k := math.Pow(10, float64(n))
	return math.Round(f*k)/k + 0
}

// bytes puts the file together: header, JSON chunk, binary chunk (glTF 2.0.1, 4.4).
func (w *glbWriter) bytes() ([]byte, error) {
	total := 0
	for _, v := range []struct {
		b              *bytes.Buffer
		stride, target int
	}{{&w.positions, 12, vertexData}, {&w.normals, 12, vertexData}, {&w.indices, 0, indexData}} {
		w.out.BufferViews = append(w.out.BufferViews, gltfBufferView{Offset: total, Length: v.b.Len(), Stride: v.stride, Target: v.target})
		total += v.b.Len()
	}
	w.out.Buffers = []gltfBuffer{{total}}
	w.out.Asset = gltfAsset{Version: "2.0", Generator: "Seamwright"}
	head, err := json.Marshal(w.out)
	if err != nil {
		return nil, err
	}
	head = append(head, bytes.Repeat([]byte{' '}, -len(head)&3)...)
	bin := append(append(w.positions.Bytes(), w.normals.Bytes()...), w.indices.Bytes()...)
	bin = append(bin, make([]byte, -len(bin)&3)...)
	var b []byte
	for _, n := range []int{glbMagic, 2, 12 + 8 + len(head) + 8 + len(bin), len(head), chunkJSON} {
		b = binary.LittleEndian.AppendUint32(b, uint32(n))
	}
	b = append(b, head...)
	for _, n := range []int{len(bin), chunkBIN} {
		b = binary.LittleEndian.AppendUint32(b, uint32(n))
	}
	return append(b, bin...), nil
}
