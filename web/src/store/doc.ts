// A job in the page is plain JSON. Edits come from the engine; nothing here
// knows what they mean.
import type { Edit } from "../engine/types";

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

const index = (k: string) => /^\d+$/.test(k);

function set(at: Json | undefined, path: string[], value: Json): Json {
  if (path.length === 0) return value;
  const [key, ...rest] = path as [string, ...string[]];
  if (Array.isArray(at) || (at === undefined && index(key))) {
    const list = Array.isArray(at) ? at.slice() : [];
    list[Math.min(Number(key), list.length)] = set(list[Number(key)], rest, value);
    return list;
  }
  const o = at !== null && typeof at === "object" ? { ...(at as { [key: string]: Json }) } : {};
  o[key] = set(o[key], rest, value);
  return o;
}

function drop(at: Json | undefined, path: string[]): Json | undefined {
  const [key, ...rest] = path as [string, ...string[]];
  if (Array.isArray(at)) {
    const list = at.slice();
    if (rest.length === 0) list.splice(Number(key), 1);
    else list[Number(key)] = drop(list[Number(key)], rest) ?? null;
    return list;
  }
  if (at === null || typeof at !== "object") return at;
  const o = { ...at };
  if (rest.length === 0) delete o[key];
  else if (o[key] !== undefined) o[key] = drop(o[key], rest) ?? null;
  return o;
}

export function apply(doc: string, edits: Edit[]): string {
  let at = JSON.parse(doc) as Json;
  for (const e of edits) {
    const path = e.path ?? [];
    at = e.remove ? (drop(at, path) ?? {}) : set(at, path, JSON.parse(e.value) as Json);
  }
  return JSON.stringify(at);
}

export const textEdit = (path: string[], text: string): Edit => ({ path, value: JSON.stringify(text), remove: false });
export const removeEdit = (path: string[]): Edit => ({ path, value: "", remove: true });

export interface Change {
  path: string;
  from: string;
  to: string;
}

/** What differs between two jobs, leaf by leaf. */
export function differences(a: string, b: string): Change[] {
  const out: Change[] = [];
  const show = (v: Json | undefined) => (v === undefined ? "" : typeof v === "string" ? v : JSON.stringify(v));
  const walk = (x: Json | undefined, y: Json | undefined, path: string) => {
    if (x !== null && y !== null && typeof x === "object" && typeof y === "object" && Array.isArray(x) === Array.isArray(y)) {
      const xo = x as { [k: string]: Json };
      const yo = y as { [k: string]: Json };
      for (const k of new Set([...Object.keys(xo), ...Object.keys(yo)])) walk(xo[k], yo[k], path ? `${path}.${k}` : k);
    } else if (show(x) !== show(y)) out.push({ path, from: show(x), to: show(y) });
  };
  walk(JSON.parse(a) as Json, JSON.parse(b) as Json, "");
  return out;
}

export function nameOf(doc: string): string {
  try {
    const d = JSON.parse(doc) as { name?: unknown };
    return typeof d.name === "string" && d.name !== "" ? d.name : "Unnamed roof";
  } catch {
    return "Unnamed roof";
  }
}
