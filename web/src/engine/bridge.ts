// The typed bridge to the engine. Three workers at most: one that follows the
// thumb, one that runs the long checks, one that makes papers. Each is started
// when it is first asked.
import type { Curves, Failure, File, Length, Papers, Range, Request, Solid, Starter, View } from "./types";

type Reply<T> = T & Partial<Failure>;

class Engine {
  private worker: Worker | undefined;
  private waiting = new Map<number, (json: string) => void>();
  private last = 0;
  private fault = "";
  started: Promise<void> = Promise.resolve();

  constructor(
    private engine: string,
    private global: string,
  ) {}

  start(): Promise<void> {
    if (this.worker) return this.started;
    const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
    this.worker = worker;
    this.started = new Promise((resolve, reject) => {
      worker.onmessage = (event: MessageEvent<[number, string, number]>) => {
        const [id, text, ms] = event.data;
        if (ms !== undefined) performance.measure(id === 0 ? "engine" : "engine-call", { start: performance.now() - ms, duration: ms });
        if (id === 0) return resolve();
        if (id === -1) {
          this.fault = text;
          for (const done of this.waiting.values()) done(JSON.stringify({ error: text }));
          this.waiting.clear();
          this.worker = undefined; // the next call tries again
          return reject(new Error(text));
        }
        this.waiting.get(id)?.(text);
        this.waiting.delete(id);
      };
      worker.onerror = (e) => reject(new Error(e.message || this.fault || "the engine could not be started"));
      worker.postMessage({ engine: this.engine, global: this.global });
      if (ownCatalogue !== "") worker.postMessage([-2, "catalogue", ownName, ownCatalogue]);
    });
    this.started.catch(() => {});
    return this.started;
  }

  ask<T>(...texts: string[]): Promise<Reply<T>> {
    void this.start().catch(() => {});
    const id = ++this.last;
    return new Promise((resolve) => {
      this.waiting.set(id, (json) => resolve(JSON.parse(json) as Reply<T>));
      this.worker?.postMessage([id, ...texts]);
    });
  }

  /** Only if it runs: one that starts later is told then. */
  tell(...texts: string[]): void {
    this.worker?.postMessage([-2, ...texts]);
  }
}

const ownName = "own.yaml";
let ownCatalogue = "";

const thumb = new Engine("engine", "seamwright");
const long = new Engine("engine", "seamwright");
const paper = new Engine("papers", "seamwrightPapers");

export const startEngine = () => thumb.start();
export const view = (r: Request) => (r.full ? long : thumb).ask<View>("view", JSON.stringify(r));
export const curves = (doc: string, plane: number) => long.ask<Curves>("curves", doc, String(plane));
export const compare = (doc: string) => long.ask<Range>("compare", doc);
export const readLength = (typed: string, units: string) => thumb.ask<Length>("length", typed, units);
export const importFile = (name: string, text: string) => thumb.ask<File>("import", name, text);
export const exportFile = (doc: string) => thumb.ask<File>("export", doc);
export const starters = () => thumb.ask<Starter[]>("starters");
export const catalogueFiles = () => thumb.ask<Starter[]>("files");

/** Uses the firm's own catalogue from now on, in every engine, if it has no fault. */
export async function useCatalogue(text: string): Promise<Reply<File>> {
  const r = await thumb.ask<File>("catalogue", ownName, text);
  if (r.error || (r.troubles ?? []).some((t) => !t.note)) return r;
  ownCatalogue = text;
  long.tell("catalogue", ownName, text);
  paper.tell("catalogue", ownName, text);
  return r;
}

export const papers = (doc: string, version: string) => paper.ask<Papers>("papers", doc, version);
/** The roof in space. The maker of papers makes the model too. */
export const solid = (doc: string) => paper.ask<Solid>("solid", doc);
