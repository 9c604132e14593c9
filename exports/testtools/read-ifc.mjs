// Reads IFC files with web-ifc and prints what it says as one JSON list: where
// the file breaks the schema, the schema,
// every element with its class, its place in the spatial tree and its
// properties, and from its mesh the bounds and enclosed volume in metres, y up.
import { readFileSync } from 'node:fs'
import * as WebIFC from 'web-ifc'
import { problems } from './ifc-schema.mjs'

const api = new WebIFC.IfcAPI()
await api.Init()
api.SetLogLevel(WebIFC.LogLevel.LOG_LEVEL_OFF)
const read = file => {
  const model = api.OpenModel(new Uint8Array(readFileSync(file)))

  const all = type => {
    const ids = api.GetLineIDsWithType(model, type)
    return Array.from({ length: ids.size() }, (_, i) => api.GetLine(model, ids.get(i)))
  }
  const named = v => (v == null ? undefined : v.value)

  const parent = {}
  for (const r of all(WebIFC.IFCRELAGGREGATES)) for (const o of r.RelatedObjects) (parent[o.value] ??= []).push(r.RelatingObject.value)
  for (const r of all(WebIFC.IFCRELCONTAINEDINSPATIALSTRUCTURE)) for (const o of r.RelatedElements) (parent[o.value] ??= []).push(r.RelatingStructure.value)

  const props = {}
  const quantities = {}
  for (const r of all(WebIFC.IFCRELDEFINESBYPROPERTIES)) {
    const set = api.GetLine(model, r.RelatingPropertyDefinition.value, true)
    for (const o of r.RelatedObjects) {
      for (const p of set.HasProperties ?? []) (props[o.value] ??= {})[p.Name.value] = named(p.NominalValue)
      for (const q of set.Quantities ?? []) (quantities[o.value] ??= {})[q.Name.value] = named(q.LengthValue ?? q.AreaValue)
    }
  }
  const material = {}
  for (const r of all(WebIFC.IFCRELASSOCIATESMATERIAL)) for (const o of r.RelatedObjects) material[o.value] = api.GetLine(model, r.RelatingMaterial.value).Name.value

  const meshes = {}
  api.StreamAllMeshes(model, mesh => {
    const m = { min: [Infinity, Infinity, Infinity], max: [-Infinity, -Infinity, -Infinity], volume: 0, triangles: 0, alpha: 1 }
    for (let g = 0; g < mesh.geometries.size(); g++) {
      const placed = mesh.geometries.get(g)
      m.alpha = placed.color.w
      const t = placed.flatTransformation
      const geo = api.GetGeometry(model, placed.geometryExpressID)
      const v = api.GetVertexArray(geo.GetVertexData(), geo.GetVertexDataSize())
      const ix = api.GetIndexArray(geo.GetIndexData(), geo.GetIndexDataSize())
      const at = i => [0, 1, 2].map(k => t[k] * v[6 * i] + t[4 + k] * v[6 * i + 1] + t[8 + k] * v[6 * i + 2] + t[12 + k])
      for (let i = 0; i < ix.length; i += 3) {
        const [a, b, c] = [at(ix[i]), at(ix[i + 1]), at(ix[i + 2])]
        for (const p of [a, b, c]) for (let k = 0; k < 3; k++) {
          m.min[k] = Math.min(m.min[k], p[k])
          m.max[k] = Math.max(m.max[k], p[k])
        }
        m.volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6
        m.triangles++
      }
    }
    meshes[mesh.expressID] = m
  })

  const elements = []
  for (const [name, type] of Object.entries({ IfcProject: WebIFC.IFCPROJECT, IfcSite: WebIFC.IFCSITE, IfcBuilding: WebIFC.IFCBUILDING, IfcBuildingStorey: WebIFC.IFCBUILDINGSTOREY,
    IfcRoof: WebIFC.IFCROOF, IfcPlate: WebIFC.IFCPLATE, IfcMember: WebIFC.IFCMEMBER, IfcBeam: WebIFC.IFCBEAM, IfcDiscreteAccessory: WebIFC.IFCDISCRETEACCESSORY })) {
    for (const e of all(type)) {
      elements.push({ class: name, id: e.expressID, guid: named(e.GlobalId), name: named(e.Name), kind: named(e.PredefinedType), tag: named(e.Tag),
        owned: e.OwnerHistory != null, parents: parent[e.expressID] ?? [], props: props[e.expressID] ?? {}, quantities: quantities[e.expressID] ?? {}, material: material[e.expressID], mesh: meshes[e.expressID] })
    }
  }
  const depths = all(WebIFC.IFCEXTRUDEDAREASOLID).map(s => s.Depth.value)
  const units = all(WebIFC.IFCSIUNIT).map(u => [named(u.UnitType), named(u.Prefix), named(u.Name)].filter(Boolean).join(' '))
  const guids = Array.from({ length: api.GetMaxExpressID(model) }, (_, i) => i + 1).map(i => { try { return named(api.GetLine(model, i).GlobalId) } catch { return undefined } }).filter(Boolean)
  return ({ problems: problems(api, model), schema: api.GetModelSchema(model), lines: api.GetAllLines(model).size(), elements, depths, units, guids })
}

const out = []
for (const file of process.argv.slice(2)) out.push(await read(file))
console.log(JSON.stringify(out))
