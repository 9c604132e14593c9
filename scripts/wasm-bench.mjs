// Times the whole plan of a 20-panel roof as WebAssembly under node.
// usage: node scripts/wasm-bench.mjs build/engine.wasm build/wasm_exec.js job.yaml [runs]
import { readFile } from "node:fs/promises";
import { performance } from "node:perf_hooks";
import { pathToFileURL } from "node:url";
import { resolve } from "node:path";

const [wasm, glue, job, runs = "60"] = process.argv.slice(2);
await import(pathToFileURL(resolve(glue)));
const go = new globalThis.Go();
const { instance } = await WebAssembly.instantiate(await readFile(wasm), go.importObject);
go.run(instance);
const text = await readFile(job, "utf8");
const times = [];
let bytes = 0;
for (let i = 0; i < Number(runs); i++) {
  const t = performance.now();
  const out = globalThis.seamwright("plan", job, text);
  times.push(performance.now() - t);
  bytes = out.length;
  const reply = JSON.parse(out);
  if (!reply.plan || reply.plan.planes[0].layout === undefined) throw new Error(out.slice(0, 400));
}
times.sort((a, b) => a - b);
const at = (q) => times[Math.min(times.length - 1, Math.floor(q * times.length))].toFixed(1);
console.log(`wasm plan: best ${at(0)} ms, median ${at(0.5)} ms, p95 ${at(0.95)} ms, ${runs} runs, ${bytes} bytes of JSON`);
process.exit(0);
