/// <reference lib="webworker" />
// One engine, asked one thing at a time: [id, call, ...texts] in, [id, JSON] out.
// The first message says which engine to load and the global it answers to.

const scope = self as unknown as DedicatedWorkerGlobalScope & Record<string, unknown>;

type Start = { engine: string; global: string };
let ready: Promise<(...texts: string[]) => string> | undefined;

async function streamed(engine: string, imports: WebAssembly.Imports): Promise<WebAssembly.Instance> {
  const plain = await fetch(`/engine/${engine}.wasm`);
  if (plain.ok && plain.headers.get("content-type")?.startsWith("application/wasm")) {
    return (await WebAssembly.instantiateStreaming(plain, imports)).instance;
  }
  const packed = await fetch(`/engine/${engine}.wasm.gz`);
  if (!packed.ok || !packed.body) throw new Error(`the engine is not on this server: /engine/${engine}.wasm.gz (${packed.status})`);
  const body = packed.body.pipeThrough(new DecompressionStream("gzip"));
  const wasm = new Response(body, { headers: { "content-type": "application/wasm" } });
  return (await WebAssembly.instantiateStreaming(wasm, imports)).instance;
}

async function load({ engine, global }: Start): Promise<(...texts: string[]) => string> {
  const glue = "/engine/wasm_exec.js";
  await import(/* @vite-ignore */ glue);
  const Go = scope.Go as new () => { importObject: WebAssembly.Imports; run(i: WebAssembly.Instance): Promise<void> };
  const go = new Go();
  void go.run(await streamed(engine, go.importObject));
  return scope[global] as (...texts: string[]) => string;
}

scope.onmessage = async (event: MessageEvent<Start | [number, ...string[]]>) => {
  const m = event.data;
  if (!Array.isArray(m)) {
    const t = performance.now();
    ready = load(m);
    ready.then(
      () => scope.postMessage([0, "", performance.now() - t]),
      (e: unknown) => scope.postMessage([-1, String(e instanceof Error ? e.message : e)]),
    );
    return;
  }
  const [id, ...texts] = m;
  try {
    const call = await ready!;
    const t = performance.now();
    const reply = call(...(texts as string[]));
    scope.postMessage([id, reply, performance.now() - t]);
  } catch (e) {
    scope.postMessage([id, JSON.stringify({ error: String(e instanceof Error ? e.message : e) })]);
  }
};
