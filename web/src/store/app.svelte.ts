// The state of the page: which job, where in it, and what the engine says.
// Every change goes through change(), which keeps it on the device at once.
import { compare, readLength, startEngine, useCatalogue, view as askView } from "../engine/bridge";
import type { Act, Edit, Finding, Range, Slot, View } from "../engine/types";
import { allJobs, dropJob, fact, keepFact, keepJob, type Kept } from "./device";
import { apply, differences, removeEdit, textEdit } from "./doc";

export const stages = [
  { id: "measure", name: "Measure" },
  { id: "roof", name: "Roof" },
  { id: "setout", name: "Set out" },
  { id: "checks", name: "Checks" },
  { id: "price", name: "Price" },
  { id: "order", name: "Order" },
  { id: "papers", name: "Papers" },
  { id: "build", name: "Build" },
  { id: "after", name: "After" },
] as const;

export type Light = "day" | "sun" | "dark";

export const blank = (units: "inch" | "mm") =>
  JSON.stringify({
    seamwright: 1,
    name: "New roof",
    units,
    system: units === "inch" ? "twin8-600" : "twin10-1000",
    planes: [{ name: "roof", tapes: {} }],
  });

const fresh = (doc: string): Kept => ({
  id: crypto.randomUUID(),
  doc,
  changed: Date.now(),
  versions: [],
  place: { stage: "measure", plane: 0, step: "", purlin: 0 },
  ticks: {},
  done: [],
  reads: {},
  frozen: "",
  base: 0,
  sent: "",
  rival: null,
});

const mostVersions = 60;
const settle = 90_000; // changes closer together than this are one version

class App {
  jobs = $state.raw<Kept[]>([]);
  job = $state.raw<Kept | null>(null);
  view = $state.raw<View | null>(null);
  own = $state(""); // the firm's own catalogue file
  range = $state.raw<Range | null>(null);
  slot = $state("");
  marked = $state("");
  trouble = $state(""); // what a customer called back about
  where = $state(""); // panel or seam it is at, chosen from the list
  size = $state({ w: 360, h: 300 });
  list = $state(false); // the jobs are shown
  light = $state<Light>("day");
  fault = $state(""); // the engine or the device failed
  say = $state(""); // for those who listen
  saved = $state("");
  past = $state.raw<string[]>([]);
  future = $state.raw<string[]>([]);
  busy = $state(false);

  private asking = false;
  private again = false;
  private full: ReturnType<typeof setTimeout> | undefined;
  private fullFor = "";
  private turn = 0;

  stage = $derived(this.job?.place.stage ?? "measure");
  slots = $derived<Slot[]>(this.view?.slots ?? []);
  behind = $derived(this.view !== null && this.view.stage !== this.stage); // the drawing is still that of another stage
  inHand = $derived<Slot | null>(this.slots.find((s) => s.id === this.slot) ?? null);
  findings = $derived<Finding[]>(this.view?.findings ?? []);
  units = $derived((this.view?.head.units ?? "inch") as "inch" | "mm");

  async start(): Promise<void> {
    startEngine().catch((e: Error) => (this.fault = e.message));
    try {
      this.light = (await fact<Light>("light")) ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "day");
      this.own = (await fact<string>("catalogue")) ?? "";
      this.jobs = (await allJobs()).map((j) => ({ ...j, reads: j.reads ?? {}, frozen: j.frozen ?? "" })).sort((a, b) => b.changed - a.changed);
      const last = await fact<string>("job");
      const j = this.jobs.find((x) => x.id === last) ?? this.jobs[0];
      this.job = j ?? fresh(blank(navigator.language === "en-US" ? "inch" : "mm"));
    } catch (e) {
      this.fault = `nothing can be kept on this device: ${String(e)}`;
      this.job = fresh(blank("inch"));
    }
    if (this.own !== "") await this.catalogue(this.own).catch(() => {});
    this.refresh();
  }

  /** Puts the firm's own catalogue to use and keeps it; faults come back. */
  async catalogue(text: string) {
    const r = await useCatalogue(text);
    if (!r.error && !(r.troubles ?? []).some((t) => !t.note)) {
      this.own = text;
      await keepFact("catalogue", text);
      this.fullFor = this.rested = "";
      this.refresh();
    }
    return r;
  }

  /** Asks for a new view; while one is under way the newest waits. */
  refresh(): void {
    if (!this.job) return;
    if (this.asking) {
      this.again = true;
      return;
    }
    void this.ask();
  }

  /** The job a stage is about: on the ladder the one the first row was fixed by. */
  docFor(stage: string): string {
    const j = this.job!;
    return (stage === "build" || stage === "after") && j.frozen ? j.frozen : j.doc;
  }

  private request(full: boolean) {
    const j = this.job!;
    return {
      doc: this.docFor(j.place.stage),
      stage: j.place.stage,
      plane: j.place.plane,
      width: this.size.w,
      height: this.size.h,
      slot: this.slot,
      marked: this.marked,
      full,
      step: j.place.step,
      purlin: j.place.purlin,
      done: [...j.done],
      reads: Object.entries(j.reads).flatMap(([of, m]) => Object.entries(m).map(([purlin, ticks]) => ({ of, purlin, ticks }))),
      trouble: j.place.stage === "after" ? this.trouble : "",
      where: this.where,
    };
  }

  /** Where marks, orders and prices stand, only the whole plan will do: the
   *  checks may ask for more purlins. The quick one follows the thumb. */
  private needsFull(): boolean {
    const stage = this.job!.place.stage;
    return this.hasSite() && (this.fullFor === this.docFor(stage) || (stage !== "measure" && stage !== "roof"));
  }

  private async ask(): Promise<void> {
    this.asking = true;
    do {
      this.again = false;
      const turn = ++this.turn;
      const full = this.needsFull();
      const r = this.request(full);
      if (full && this.fullFor !== r.doc) this.busy = true;
      performance.mark("ask");
      const v = await askView(r);
      this.busy = false;
      if (v.error) {
        this.fault = v.error;
        break;
      }
      this.fault = "";
      if (full) this.fullFor = r.doc;
      if (turn === this.turn && !this.again) this.show(v, full);
    } while (this.again);
    this.asking = false;
    this.later();
  }

  /** While only the quick plan is there, what the checks last said stays, as old. */
  private show(v: View, full: boolean): void {
    if (!full && this.hasSite() && this.view) {
      v.checks = this.view.checks;
      const known = new Set((v.findings ?? []).map((f) => f.code + f.where));
      const old = (this.view.findings ?? []).filter((f) => checked(f) && !known.has(f.code + f.where)).map((f) => ({ ...f, late: true, placed: false }));
      v.findings = [...(v.findings ?? []), ...old].sort((a, b) => rank(a) - rank(b));
    }
    this.view = v;
    performance.mark("shown");
    if (this.slot && !this.slots.some((s) => s.id === this.slot)) this.slot = "";
  }

  hasSite(): boolean {
    if (!this.job) return false;
    const doc = this.docFor(this.job.place.stage);
    if (doc !== this.siteOf[0]) this.siteOf = [doc, "site" in (JSON.parse(doc) as object)];
    return this.siteOf[1];
  }
  private siteOf: [string, boolean] = ["", false];

  /** The long checks and the price range run when the hand rests. */
  private later(): void {
    clearTimeout(this.full);
    const doc = this.job!.doc;
    if (this.rested === doc) return;
    this.full = setTimeout(async () => {
      if (this.asking || this.job?.doc !== doc) return;
      if (this.hasSite() && this.fullFor !== this.docFor(this.stage)) {
        this.busy = true;
        const v = await askView(this.request(true));
        this.busy = false;
        if (v.error || this.job?.doc !== doc) return;
        this.fullFor = this.docFor(this.stage);
        this.refresh(); // the place may have changed meanwhile; the plan is kept by the engine
      }
      const r = await compare(doc);
      if (!r.error && this.job?.doc === doc) {
        this.range = r;
        this.rested = doc;
      }
    }, 700);
  }
  private rested = "";

  // ── changes ──────────────────────────────────────────────────────────────

  change(edits: Edit[]): void {
    if (edits.length === 0 || !this.job) return;
    const doc = apply(this.job.doc, edits);
    if (doc === this.job.doc) return;
    this.past = [...this.past.slice(-199), this.job.doc];
    this.future = [];
    this.put(doc);
  }

  private put(doc: string): void {
    const j = this.job!;
    const now = Date.now();
    const versions = j.versions.slice(-mostVersions);
    const last = versions.at(-1);
    if (!last || now - last.at > settle) versions.push({ at: now, doc: j.doc });
    this.keep({ ...j, doc, changed: now, versions });
    this.refresh();
  }

  act(a: Act): void {
    this.change(a.edits ?? []);
  }

  write(slot: Slot, text: string): void {
    this.change([textEdit(slot.path ?? [], text)]);
  }

  rub(slot: Slot): void {
    if (slot.text !== "") this.change([removeEdit(slot.path ?? [])]);
  }

  undo(): void {
    const doc = this.past.at(-1);
    if (doc === undefined || !this.job) return;
    this.future = [this.job.doc, ...this.future];
    this.past = this.past.slice(0, -1);
    this.put(doc);
    this.say = "undone";
  }

  redo(): void {
    const doc = this.future[0];
    if (doc === undefined || !this.job) return;
    this.past = [...this.past, this.job.doc];
    this.future = this.future.slice(1);
    this.put(doc);
    this.say = "done again";
  }

  /** Keeps a job on the device; sending it on is for later. */
  keep(j: Kept): void {
    if (this.job?.id === j.id) this.job = j;
    this.jobs = [j, ...this.jobs.filter((x) => x.id !== j.id)].sort((a, b) => b.changed - a.changed);
    keepJob(j).then(
      () => (this.saved = j.doc),
      (e: unknown) => (this.fault = `this change could not be kept on the device: ${String(e)}`),
    );
    void keepFact("job", j.id).catch(() => {});
  }

  place(p: Partial<Kept["place"]>): void {
    if (!this.job) return;
    this.keep({ ...this.job, place: { ...this.job.place, ...p } });
    this.refresh();
  }

  go(stage: string): void {
    this.slot = this.trouble = this.where = "";
    this.marked = "";
    this.place({ stage });
  }

  /** What the customer called about; the same again takes it back. */
  callBack(trouble: string): void {
    this.trouble = trouble === this.trouble ? "" : trouble;
    this.slot = this.trouble === "" ? "" : this.slot;
    this.refresh();
  }

  /** Where it is, from the list instead of the drawing. */
  callAt(place: string): void {
    this.slot = "";
    this.where = place;
    this.refresh();
  }

  pick(id: string): void {
    this.slot = id;
    this.marked = "";
    this.refresh();
  }

  tick(id: string): void {
    if (!this.job) return;
    const ticks = { ...this.job.ticks };
    if (id in ticks) delete ticks[id];
    else ticks[id] = Date.now();
    this.keep({ ...this.job, ticks });
  }

  /** Ticks a step of the work and goes on to the next. The first row that is
   *  fixed freezes the plan it was fixed by. */
  stepDone(id: string, next: string, fixes: boolean): void {
    if (!this.job) return;
    const frozen = this.job.frozen || (fixes ? this.job.doc : "");
    this.keep({ ...this.job, frozen, done: [...this.job.done.filter((d) => d !== id), id], place: { ...this.job.place, step: next } });
    this.refresh();
  }

  stepBack(to: string): void {
    if (!this.job) return;
    this.keep({ ...this.job, done: this.job.done.filter((d) => d !== to), place: { ...this.job.place, step: to } });
    this.refresh();
  }

  /** Writes how far a row or verge lies off its mark; null rubs it out. */
  landed(of: string, purlin: string, ticks: number | null): void {
    if (!this.job) return;
    const row = { ...this.job.reads[of] };
    if (ticks === null) delete row[purlin];
    else row[purlin] = ticks;
    this.keep({ ...this.job, reads: { ...this.job.reads, [of]: row } });
    this.refresh();
  }

  // ── jobs ─────────────────────────────────────────────────────────────────

  open(j: Kept): void {
    this.job = j;
    this.past = [];
    this.future = [];
    this.slot = this.trouble = this.where = "";
    this.marked = "";
    this.view = null;
    this.range = null;
    this.fullFor = this.rested = "";
    this.list = false;
    void keepFact("job", j.id).catch(() => {});
    this.refresh();
  }

  begin(doc: string): void {
    const j = fresh(doc);
    this.keep(j);
    this.open(j);
  }

  duplicate(): void {
    if (!this.job) return;
    const d = JSON.parse(this.job.doc) as { name?: string };
    this.begin(JSON.stringify({ ...d, name: `${d.name ?? "Roof"}, copy` }));
  }

  async remove(j: Kept): Promise<void> {
    await dropJob(j.id);
    this.jobs = this.jobs.filter((x) => x.id !== j.id);
    if (this.job?.id === j.id) this.open(this.jobs[0] ?? fresh(blank("inch")));
    this.list = true;
  }

  restore(doc: string): void {
    if (!this.job || doc === this.job.doc) return;
    this.past = [...this.past, this.job.doc];
    this.future = [];
    this.put(doc);
  }

  changesSince(doc: string) {
    return this.job ? differences(doc, this.job.doc) : [];
  }

  setLight(l: Light): void {
    this.light = l;
    void keepFact("light", l).catch(() => {});
  }

  read(typed: string) {
    return readLength(typed, this.units);
  }
}

/** Findings that only loads and checks can have. */
const checked = (f: Finding) => !/^(survey|roof|slope|purlins|support|rip|panel|channel|work|marks|heat|cut|plan|job|setout|clip)\./.test(f.code);
const rank = (f: Finding) => (f.level === "stop" ? 0 : f.level === "warn" ? 1 : 2);

export const app = new App();
