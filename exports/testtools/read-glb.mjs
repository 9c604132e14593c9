// Reads GLB files with two independent programs and prints what they say as JSON:
// the Khronos validator's report, and from three.js every named mesh with its
// bounds, its surface and its enclosed volume in world metres.
import { readFileSync } from 'node:fs'
import validator from 'gltf-validator'
import * as THREE from 'three'
import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js'

globalThis.self = globalThis
const read = async file => {
  const bytes = new Uint8Array(readFileSync(file))
  const report = await validator.validateBytes(bytes)
  const gltf = await new GLTFLoader().parseAsync(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength), '')

  const nodes = []
  gltf.scene.updateMatrixWorld(true)
  gltf.scene.traverse(node => {
    const name = node.userData.name ?? node.name
    if (!node.geometry) return nodes.push({ name, type: node.type })
    const out = { name, type: node.type, extras: node.userData, opacity: node.material.opacity, transparent: node.material.transparent }
    const box = new THREE.Box3().setFromObject(node)
    out.min = box.min.toArray()
    out.max = box.max.toArray()
    if (node.isMesh) {
      const pos = node.geometry.attributes.position
      const nor = node.geometry.attributes.normal
      const index = node.geometry.index
      const [a, b, c, n] = [0, 1, 2, 3].map(() => new THREE.Vector3())
      out.area = 0
      out.volume = 0
      out.inward = 0
      out.faces = {}
      for (let i = 0; i < index.count; i += 3) {
        a.fromBufferAttribute(pos, index.getX(i)).applyMatrix4(node.matrixWorld)
        b.fromBufferAttribute(pos, index.getX(i + 1)).applyMatrix4(node.matrixWorld)
        c.fromBufferAttribute(pos, index.getX(i + 2)).applyMatrix4(node.matrixWorld)
        n.fromBufferAttribute(nor, index.getX(i))
        const cross = b.clone().sub(a).cross(c.clone().sub(a))
        const size = cross.length() / 2
        out.area += size
        out.volume += a.dot(b.clone().cross(c)) / 6
        if (cross.dot(n) < 0) out.inward++
        const key = n.toArray().map(x => (Math.round(x * 1e4) / 1e4 + 0).toFixed(4)).join(' ')
        out.faces[key] = (out.faces[key] ?? 0) + size
      }
    }
    nodes.push(out)
  })
  return ({ issues: report.issues, info: report.info, version: gltf.asset.version, names: gltf.parser.json.nodes.map(n => n.name), nodes })
}

const out = []
for (const file of process.argv.slice(2)) out.push(await read(file))
console.log(JSON.stringify(out))
