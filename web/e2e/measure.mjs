// Measures what docs/bench/app.md records: node web/e2e/measure.mjs
// The browser slows only the page's own thread; the engine runs in a worker, so
// its time is measured as it is and counted four times where 4× is claimed.
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { browser, desk, open, phone } from "./browser.mjs";
import { serve } from "./serve.mjs";

const slow = 4;
const server = await serve();
const chrome = await browser();
const median = (xs) => [...xs].sort((a, b) => a - b)[Math.floor(xs.length / 2)];
const p95 = (xs) => [...xs].sort((a, b) => a - b)[Math.floor(xs.length * 0.95)];

// first visit, nothing kept
{
  const context = await chrome.newContext({ ...phone, locale: "en-US", serviceWorkers: "block" });
  const page = await context.newPage();
  const cdp = await context.newCDPSession(page);
  await cdp.send("Emulation.setCPUThrottlingRate", { rate: slow });
  server.sent.bytes = 0;
  server.sent.files = {};
  const start = Date.now();
  await page.goto(server.url);
  await page.waitForSelector(".board .paper svg");
  const usable = Date.now() - start;
  const engine = await page.evaluate(() => performance.getEntriesByName("engine").at(-1)?.duration ?? 0);
  console.log(`first visit: ${(server.sent.bytes / 1e6).toFixed(2)} MB over the wire, usable after ${usable} ms with the page slowed 4×, of it ${engine.toFixed(0)} ms engine start not slowed: ${(usable + 3 * engine).toFixed(0)} ms with both`);
  await context.close();
}

// the same with the app kept on the device for later, which must not fetch it all again
{
  const context = await chrome.newContext({ ...phone, locale: "en-US" });
  const page = await context.newPage();
  server.sent.bytes = 0;
  server.sent.files = {};
  await page.goto(server.url);
  await page.waitForSelector(".board .paper svg");
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(async () => !!(await (await caches.open("engine-1")).match("/engine/papers.wasm")), null, { timeout: 60_000 });
  const papers = server.sent.files["/engine/papers.wasm"];
  console.log(`kept on the device: ${((server.sent.bytes - papers) / 1e6).toFixed(2)} MB over the wire, engine ${(server.sent.files["/engine/engine.wasm"] / 1e6).toFixed(2)} MB of it; then the maker of papers, ${(papers / 1e6).toFixed(2)} MB, behind it`);
  console.log(Object.entries(server.sent.files).map(([f, n]) => `  ${f} ${n}`).join("\n"));
  await context.close();
}

// keystroke to redrawn plan, 20 panels
{
  const context = await chrome.newContext({ ...desk, locale: "en-US" });
  const page = await open(context, server.url);
  const job = await readFile(fileURLToPath(new URL("../../scripts/bench-20.yaml", import.meta.url)), "utf8");
  await page.locator(".top .job").click();
  await page.locator("input[type=file]").setInputFiles({ name: "bench-20.yaml", mimeType: "text/yaml", buffer: Buffer.from(job) });
  await page.waitForSelector(".board .paper .seam");
  await page.locator("button.place").first().click();
  await page.waitForSelector(".keypad");
  const cdp = await context.newCDPSession(page);
  await cdp.send("Emulation.setCPUThrottlingRate", { rate: slow });
  const times = await page.evaluate(async () => {
    const out = [];
    const long = [];
    new PerformanceObserver((l) => l.getEntries().forEach((e) => long.push(e.duration))).observe({ type: "longtask" });
    const paper = document.querySelector(".board .paper");
    for (let i = 0; i < 40; i++) {
      const key = document.querySelectorAll(".nudge")[i % 2];
      const t = performance.now();
      const done = new Promise((r) => {
        const o = new MutationObserver(() => {
          o.disconnect();
          requestAnimationFrame(() => {
            const painted = new MessageChannel(); // its message comes after the frame was painted
            painted.port1.onmessage = () => r(performance.now());
            painted.port2.postMessage(0);
          });
        });
        o.observe(paper, { childList: true, subtree: true, characterData: true });
      });
      key.click();
      const all = (await done) - t;
      const asks = performance.getEntriesByName("engine-call");
      out.push({ all, engine: asks.at(-1)?.duration ?? 0 });
      await new Promise((r) => setTimeout(r, 120));
    }
    return { out: out.slice(4), long };
  });
  const all = times.out.map((x) => x.all);
  const both = times.out.map((x) => x.all + 3 * x.engine);
  const engine = times.out.map((x) => x.engine);
  const panels = await page.locator(".board .paper .panel").count();
  console.log(`keystroke to redraw, ${panels} panels, page slowed 4×: median ${median(all).toFixed(0)} ms, p95 ${p95(all).toFixed(0)} ms; of it engine ${median(engine).toFixed(0)} ms as it is; with the engine counted 4×: median ${median(both).toFixed(0)} ms, p95 ${p95(both).toFixed(0)} ms`);
  console.log(`main-thread tasks over 50 ms in 40 keystrokes at 4×: ${times.long.length}, longest ${Math.max(0, ...times.long).toFixed(0)} ms`);
  await context.close();
}
await chrome.close();
server.close();
