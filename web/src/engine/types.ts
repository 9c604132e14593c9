// Written by internal/tsgen from the Go types. Do not edit.

export interface Reading {
  of: string;
  purlin: string;
  ticks: number;
}

export interface Request {
  doc: string;
  stage: string;
  plane: number;
  width: number;
  height: number;
  slot: string;
  marked: string;
  full: boolean;
  step: string;
  purlin: number;
  done: string[] | null;
  reads: Reading[] | null;
  trouble: string;
  where: string;
}

export interface Trouble {
  path: string;
  text: string;
  note: boolean;
}

export interface Head {
  name: string;
  number: string;
  customer: string;
  units: string;
  tick: string;
  planes: string[] | null;
}

export interface Board {
  svg: string;
  say: string;
  skew: number;
}

export interface Parts {
  set: boolean;
  feet: number;
  whole: number;
  num: number;
  den: number;
}

export interface Edit {
  path: string[] | null;
  value: string;
  remove: boolean;
}

export interface Act {
  name: string;
  on: boolean;
  edits: Edit[] | null;
}

export interface Slot {
  id: string;
  kind: string;
  name: string;
  sub: string;
  text: string;
  say: string;
  parts: Parts;
  path: string[] | null;
  x: number;
  y: number;
  w: number;
  h: number;
  next: string;
  clear: boolean;
  acts: Act[] | null;
}

export interface Verdict {
  state: string;
  title: string;
  text: string;
}

export interface Next {
  what: string;
  why: string;
  slot: string;
}

export interface Finding {
  id: string;
  level: string;
  code: string;
  where: string;
  what: string;
  why: string;
  do: string;
  source: string;
  late: boolean;
  placed: boolean;
  x: number;
  y: number;
  slot: string;
  stage: string;
  acts: Act[] | null;
}

export interface Short {
  ready: boolean;
  sheets: string;
  rips: string;
  length: string;
  purlins: string;
  stops: number;
  warns: number;
  price: string;
  badge: string;
}

export interface Field {
  id: string;
  name: string;
  help: string;
  kind: string;
  with: Edit[] | null;
  value: string;
  path: string[] | null;
  acts: Act[] | null;
}

export interface Option {
  letter: string;
  strip: string;
  chosen: boolean;
  cells: string[] | null;
  bad: boolean[] | null;
  reason: string;
  keep: Act;
}

export interface SetOut {
  rows: string[] | null;
  options: Option[] | null;
  posts: string;
  free: Act | null;
}

export interface Tick {
  id: string;
  text: string;
}

export interface SawBar {
  marks: string;
  svg: string;
  cuts: string[] | null;
  left: string;
}

export interface SawKind {
  name: string;
  words: string;
  bought: string[] | null;
  bars: SawBar[] | null;
}

export interface PartLine {
  name: string;
  count: string;
  rule: string;
}

export interface Order {
  goods: Tick[] | null;
  kinds: SawKind[] | null;
  parts: PartLine[] | null;
  van: string[] | null;
}

export interface PriceLine {
  what: string;
  count: string;
  amount: string;
}

export interface Price {
  currency: string;
  material: PriceLine[] | null;
  labour: PriceLine[] | null;
  sums: PriceLine[] | null;
  total: string;
  net: string;
  per_area: string;
  waste: string;
}

export interface Step {
  id: string;
  hold: boolean;
  phase: string;
  title: string;
  text: string;
  panel: string;
  seam: string;
}

export interface Landing {
  of: string;
  question: string;
  read: boolean;
  whole: boolean;
  ticks: number;
  text: string;
  say: string;
  count: number;
  gauge: string;
  verdict: string;
  words: string;
  why: string;
  do: string;
  notes: Finding[] | null;
}

export interface CapWord {
  may: boolean;
  words: string;
}

export interface Work {
  steps: Step[] | null;
  now: number;
  mark: string;
  mark_say: string;
  from: string;
  strip: string;
  purlins: string[] | null;
  purlin: number;
  detail: string;
  weather: string[] | null;
  cautions: string[] | null;
  landing: Landing | null;
  cap: CapWord | null;
}

export interface Link {
  name: string;
  where: string;
  state: string;
  ratio: number;
  text: string;
  case: string;
  source: string;
}

export interface Checks {
  verdict: string;
  text: string;
  links: Link[] | null;
  ask: string[] | null;
}

export interface Trial {
  id: string;
  name: string;
  on: boolean;
}

export interface Look {
  at: string;
  look: string;
  then: string;
}

export interface Advice {
  trouble: string;
  place: string;
  looks: Look[] | null;
  order: string[] | null;
  caution: string;
}

export interface Call {
  troubles: Trial[] | null;
  panels: string[] | null;
  seams: string[] | null;
  where: string;
  advice: Advice | null;
}

export interface After {
  panel: string;
  way: string;
  steps: string[] | null;
  clips: string[] | null;
  room: string;
  unbuild: string;
  order: string[] | null;
  notes: Finding[] | null;
  again: Step[] | null;
  call: Call;
}

export interface View {
  troubles: Trouble[] | null;
  stage: string;
  head: Head;
  board: Board;
  slots: Slot[] | null;
  verdict: Verdict;
  next: Next | null;
  findings: Finding[] | null;
  short: Short;
  fields: Field[] | null;
  set_out: SetOut | null;
  order: Order | null;
  price: Price | null;
  work: Work | null;
  checks: Checks | null;
  after: After | null;
  not_checked: string[] | null;
  assumed: string[] | null;
}

export interface Compared {
  title: string;
  total: string;
  now: boolean;
  stops: number;
  acts: Act[] | null;
}

export interface Range {
  from: string;
  to: string;
  all: Compared[] | null;
}

export interface Curves {
  svg: string;
  say: string;
  label: string;
  widest: string[] | null;
  levers: string[] | null;
  why: string;
}

export interface Starter {
  name: string;
  doc: string;
  demo: boolean;
}

export interface Length {
  parts: Parts;
  text: string;
  say: string;
  trouble: string;
}

export interface File {
  text: string;
  troubles: Trouble[] | null;
}

export interface PaperFile {
  name: string;
  title: string;
  bytes: string;
}

export interface Papers {
  files: PaperFile[] | null;
  troubles: Trouble[] | null;
}

export interface SolidRing {
  flat: number[] | null;
  at: number[] | null;
  hole: boolean;
}

export interface SolidZone {
  name: string;
  text: string;
  fill: number;
  rings: SolidRing[] | null;
  label: number[] | null;
}

export interface SolidClip {
  name: string;
  text: string;
  used: number;
  checked: boolean;
  foot: number[] | null;
  top: number[] | null;
}

export interface SolidBent {
  panel: string;
  wide: number;
  at: number[] | null;
}

export interface Solid {
  model: string;
  say: string[] | null;
  zones: SolidZone[] | null;
  zone_say: string;
  clips: SolidClip[] | null;
  clip_say: string[] | null;
  bent: SolidBent[] | null;
  bent_say: string[] | null;
  times: number;
  caution: string;
  troubles: Trouble[] | null;
}

export interface Failure {
  error: string;
}
