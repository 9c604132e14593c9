// Holds the raw lines of an IFC file against the IFC4 schema as web-ifc
// publishes it: number of attributes, which may be left out, words of
// enumerations, and classes of what is referred to. It knows no WHERE rules.
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

const TYPED = 2, ENUM = 3, REF = 5, TEXT = 1, REAL = 4, INTEGER = 10

const source = readFileSync(join(dirname(createRequire(import.meta.url).resolve('web-ifc')), 'ifc-schema.d.ts'), 'utf8')
const start = source.indexOf('export declare namespace IFC4 {')
const ifc4 = source.slice(start, source.indexOf('export declare namespace', start + 10))

const classes = {}
for (const [, name, base, body] of ifc4.matchAll(/\n {4}class (\w+)(?: extends (\w+))? \{\n([\s\S]*?)\n {4}\}/g)) {
  const made = /constructor\((.*)\);/.exec(body)
  classes[name] = {
    base, words: [...body.matchAll(/static (\w+): any/g)].map(m => m[1]), value: /^\s*value: (\w+)/m.exec(body)?.[1],
    // A comma between parameters is followed by a name and a colon.
    attributes: made && made[1] ? made[1].split(/, (?=\w+: )/).map(p => { const [, name, type] = /^(\w+): (.*)$/.exec(p); return { name, type } }) : [],
  }
}
const aliases = Object.fromEntries([...ifc4.matchAll(/\n {4}type (\w+) = (.*);/g)].map(m => [m[1], m[2]]))

// names lists every class a type admits, aliases resolved.
const seen = new Map()
function names(type) {
  if (!seen.has(type)) {
    seen.set(type, new Set())
    for (const [name] of type.matchAll(/\bIfc\w+/g)) {
      if (aliases[name]) for (const n of names(aliases[name])) seen.get(type).add(n)
      else seen.get(type).add(name)
    }
  }
  return seen.get(type)
}

function admits(type, name) {
  const allowed = names(type)
  for (let n = name; n; n = classes[n]?.base) if (allowed.has(n)) return true
  return false
}

export function problems(api, model) {
  const out = []
  const lines = api.GetAllLines(model)
  const className = id => api.GetNameFromTypeCode(api.GetRawLineData(model, id).type)
  for (let i = 0; i < lines.size(); i++) {
    const line = api.GetRawLineData(model, lines.get(i))
    const name = api.GetNameFromTypeCode(line.type)
    const say = text => out.push(`#${line.ID} ${name}: ${text}`)
    const schema = classes[name]
    if (!schema) { say('is no class of IFC4'); continue }
    if (line.arguments.length !== schema.attributes.length) { say(`has ${line.arguments.length} attributes, the schema ${schema.attributes.length}`); continue }
    schema.attributes.forEach(({ name: attribute, type }, k) => {
      const value = line.arguments[k]
      if (value === null) { if (!/\| null$/.test(type)) say(`${attribute} is missing`); return }
      if (Array.isArray(value) !== /\[\]/.test(type)) { say(`${attribute} is ${Array.isArray(value) ? 'a' : 'no'} list`); return }
      if (Array.isArray(value) && value.length === 0) say(`${attribute} is empty`)
      for (const v of [value].flat(3)) check(say, attribute, type, v, className)
    })
  }
  return out
}

function check(say, attribute, type, v, className) {
  const allowed = [...names(type)]
  switch (v.type) {
    case REF: if (!admits(type, className(v.value))) say(`${attribute} refers to ${className(v.value)}`); break
    case ENUM: {
      const words = allowed.flatMap(n => classes[n]?.words ?? [])
      if (words.length > 0 && !words.includes(v.value)) say(`${attribute} is .${v.value}.`)
      if (words.length === 0 && !allowed.some(n => classes[n]?.value === 'boolean' || /Logical|Boolean/.test(n))) say(`${attribute} is an enumeration`)
      break
    }
    case TEXT: if (!allowed.some(n => classes[n]?.value === 'string')) say(`${attribute} is a text`); break
    case REAL: case INTEGER: if (!allowed.some(n => classes[n]?.base === 'NumberHandle')) say(`${attribute} is a number`); break
    case TYPED: break // the class of a typed value has been read by its name already
    default: say(`${attribute} has kind ${v.type}`)
  }
}
