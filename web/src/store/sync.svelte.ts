// Sends changes to the server when it can be reached. The device is the truth
// for the hand that holds it: a job is never taken away or changed under it.
// A change made elsewhere from the same start is a rival, kept until settled.
import { app } from "./app.svelte";
import { fact, keepFact, type Kept } from "./device";

interface ServerVersion {
  n: number;
  doc: unknown;
}
interface Saved {
  job: { id: string; head: number; deleted?: string };
  version: ServerVersion;
  conflict?: ServerVersion;
}

const every = 15_000;

class Sync {
  word = $state("");
  locked = $state(false); // the server asks for its password
  private device = "";
  private running = false;

  start(): void {
    void this.round();
    setInterval(() => void this.round(), every);
    addEventListener("online", () => void this.round());
    document.addEventListener("visibilitychange", () => void this.round());
  }

  private async call(method: string, path: string, body?: unknown): Promise<Response> {
    if (!this.device) {
      this.device = (await fact<string>("device")) ?? crypto.randomUUID();
      await keepFact("device", this.device);
    }
    const headers: Record<string, string> = { "Seamwright-Device": this.device };
    if (body !== undefined) headers["Content-Type"] = "application/json";
    const r = await fetch(`/api${path}`, { method, headers, body: body === undefined ? undefined : JSON.stringify(body) });
    if (path !== "/session") this.locked = r.status === 401;
    return r;
  }

  /** Logs in and goes on sending; what went wrong comes back, in the server's words. */
  async logIn(password: string): Promise<string> {
    try {
      const r = await this.call("POST", "/session", { password });
      if (!r.ok) return await words(r);
    } catch {
      return "The server cannot be reached. The roofs stay on this device; try again when there is a signal.";
    }
    this.locked = false;
    app.say = "Logged in. Changes are sent on.";
    await this.round();
    return "";
  }

  /** One round: everything changed here is sent, everything new there is taken in. */
  async round(): Promise<void> {
    if (this.running || document.hidden) return;
    this.running = true;
    try {
      for (const j of [...app.jobs]) if (j.doc !== j.sent && !j.rival) await this.send(j);
      await this.fetch();
    } catch {
      this.word = ""; // no server: say nothing while it works
    } finally {
      this.running = false;
    }
  }

  private async send(j: Kept): Promise<void> {
    const body = { doc: JSON.parse(j.doc) as unknown, expected: j.base, key: await key(j) };
    const r = j.base === 0 ? await this.call("POST", "/jobs", { ...body, id: j.id }) : await this.call("PUT", `/jobs/${j.id}`, body);
    if (r.status !== 409 && !r.ok) throw new Error(String(r.status));
    this.took(j, (await r.json()) as Saved);
  }

  private took(j: Kept, s: Saved): void {
    const now = app.jobs.find((x) => x.id === j.id);
    if (!now) return;
    if (s.conflict) {
      app.keep({ ...now, rival: { doc: JSON.stringify(s.conflict.doc), version: s.conflict.n, mine: s.version.n } });
      app.say = "Another device changed this roof too.";
      return;
    }
    app.keep({ ...now, base: s.version.n, sent: j.doc });
    this.word = "The office has it.";
  }

  private async fetch(): Promise<void> {
    const r = await this.call("GET", "/jobs");
    if (!r.ok || !r.headers.get("content-type")?.includes("json")) throw new Error(String(r.status));
    const { jobs } = (await r.json()) as { jobs: { id: string; head: number; demo?: boolean }[] | null };
    for (const s of jobs ?? []) {
      const have = app.jobs.find((x) => x.id === s.id);
      if (s.demo || (have && (have.base >= s.head || have.rival))) continue;
      const w = (await (await this.call("GET", `/jobs/${s.id}`)).json()) as Saved;
      const doc = JSON.stringify(w.version.doc);
      const now = app.jobs.find((x) => x.id === s.id);
      if (now && now.doc !== now.sent) continue; // changed meanwhile: the next round sends it and finds the rival
      app.keep({ ...(now ?? begun(s.id)), doc, base: w.version.n, sent: doc, changed: Date.now() });
      if (app.job?.id === s.id) app.refresh();
    }
  }

  /** Settles a conflict: what is kept counts, the other stays in the history. */
  async settle(which: "mine" | "theirs"): Promise<void> {
    const j = app.job;
    if (!j?.rival) return;
    const doc = which === "mine" ? j.doc : j.rival.doc;
    const versions = [...j.versions, { at: Date.now(), doc: which === "mine" ? j.rival.doc : j.doc }];
    const r = await this.call("PUT", `/jobs/${j.id}`, { doc: JSON.parse(doc) as unknown, expected: j.rival.version, merges: j.rival.mine, key: crypto.randomUUID() }).catch(() => null);
    if (!r?.ok) {
      app.say = "The server cannot be reached; both stay as they are.";
      return;
    }
    const s = (await r.json()) as Saved;
    app.keep({ ...j, doc, versions, base: s.version.n, sent: doc, rival: null });
    app.refresh();
  }
}

const begun = (id: string): Kept => ({
  id,
  doc: "{}",
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

/** What the server says against it: the fault, then what to do. */
async function words(r: Response): Promise<string> {
  const e = (await r.json().catch(() => ({}))) as { error?: string; hint?: string };
  const say = (t: string | undefined) => (t ? `${t.charAt(0).toUpperCase()}${t.slice(1)}. ` : "");
  return (say(e.error) + say(e.hint)).trim() || `The server refused it (${r.status}).`;
}

/** Names a change by what it is, so that sending it twice stores it once. */
async function key(j: Kept): Promise<string> {
  const bytes = new TextEncoder().encode(`${j.id} ${j.base} ${j.doc}`);
  const sum = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(sum)].slice(0, 16).map((b) => b.toString(16).padStart(2, "0")).join("");
}

export const sync = new Sync();
