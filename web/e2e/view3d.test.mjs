// The roof in space, in a real browser with a software renderer.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { browser, desk, open, phone } from "./browser.mjs";
import { serve } from "./serve.mjs";

const flags = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
let server, chrome;
before(async () => {
  server = await serve();
  chrome = await browser({ args: flags });
});
after(async () => {
  await chrome?.close();
  server?.close();
});

async function bring(context) {
  const page = await open(context, server.url);
  const text = await readFile(new URL("../../examples/lean-16x12.yaml", import.meta.url));
  await page.locator(".top .job").click();
  await page.locator("input[type=file]").setInputFiles({ name: "lean-16x12.yaml", mimeType: "text/yaml", buffer: text });
  await page.waitForSelector(".board .paper .seam");
  return page;
}
const go = (page, name) => page.locator(".tape button", { hasText: name }).click();
const show = async (page) => {
  await page.getByRole("button", { name: "See the roof in space" }).click();
  await page.waitForSelector("dialog[data-state=drawn]", { timeout: 60_000 });
};
/** Points of the picture that are not the background, and the picture itself. */
const picture = async (page) => {
  const shot = (await page.locator("dialog .room").screenshot()).toString("base64");
  return page.evaluate(async (b64) => {
    const bitmap = await createImageBitmap(new Blob([Uint8Array.from(atob(b64), (c) => c.charCodeAt(0))], { type: "image/png" }));
    const to = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
    to.drawImage(bitmap, 0, 0);
    const { data } = to.getImageData(0, 0, bitmap.width, bitmap.height);
    let drawn = 0, sum = 0;
    for (let i = 0; i < data.length; i += 4) {
      const off = Math.abs(data[i] - data[0]) + Math.abs(data[i + 1] - data[1]) + Math.abs(data[i + 2] - data[2]);
      if (off > 24) drawn++;
      sum = (sum * 31 + data[i] + data[i + 1] * 3 + data[i + 2] * 7) % 1000000007;
    }
    return { share: (4 * drawn) / data.length, sum };
  }, shot);
};

test("the roof in space: fetched when asked, drawn, turned, overlays in words, kept for no network", async () => {
  const context = await chrome.newContext({ ...phone, locale: "en-US" });
  const asked = [];
  context.on("request", (r) => asked.push(new URL(r.url()).pathname));
  const page = await bring(context);
  await go(page, "Checks");
  await page.waitForSelector(".chain li");
  assert.ok(!asked.some((p) => p.includes("View3D")), "the first visit fetched the view in space");
  await show(page);
  const first = await picture(page);
  assert.ok(first.share > 0.05, `only ${first.share} of the picture is drawn`);
  await page.locator("dialog .room").focus();
  await page.keyboard.press("ArrowLeft");
  const turned = await picture(page);
  assert.notEqual(turned.sum, first.sum);
  await page.getByRole("button", { name: "Whole roof" }).click();
  assert.equal((await picture(page)).sum, first.sum);
  for (const [name, words] of [["Wind zones", /zone 3: pull \d+ psf/], ["Clips, how full", /Most used: S\d PL\d at \d+ %/], ["Bending", /drawn (\d+ times )?as large as computed/]]) {
    const before = await picture(page);
    await page.getByRole("button", { name, exact: true }).click();
    assert.notEqual((await picture(page)).sum, before.sum, `${name} draws nothing`);
    assert.match(await page.locator("dialog .side").innerText(), words);
  }
  const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  await page.evaluate(axe);
  for (const light of ["day", "sun", "dark"]) {
    await page.evaluate((l) => (document.documentElement.className = l), light);
    const r = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
    assert.deepEqual(r.violations.map((v) => `${light}: ${v.id} ${v.nodes[0].target}`), []);
  }
  await page.getByRole("button", { name: "Close", exact: true }).click();
  await page.waitForFunction(() => document.activeElement?.textContent === "See the roof in space");

  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    const has = async (p) => !!(await caches.match(p));
    while (!(await has("/engine/papers.wasm"))) await new Promise((r) => setTimeout(r, 100));
  });
  await context.setOffline(true);
  await page.reload();
  await page.waitForSelector(".board .paper .seam");
  await show(page);
  assert.ok((await picture(page)).share > 0.05);
  assert.deepEqual(page.faults, []);
  await context.close();
});

test("without WebGL the view says so and gives the words", async () => {
  const context = await chrome.newContext({ ...desk, locale: "en-US" });
  await context.addInitScript(() => (HTMLCanvasElement.prototype.getContext = () => null));
  const page = await bring(context);
  await go(page, "Roof");
  await page.getByRole("button", { name: "See the roof in space" }).click();
  await page.getByText("it has no WebGL").waitFor({ timeout: 60_000 });
  assert.match(await page.locator("dialog .side").innerText(), /zone 3: pull[\s\S]*panels with \d+ seams/);
  await page.getByRole("button", { name: "Close", exact: true }).click();
  await page.waitForSelector(".board .paper .seam");
  await context.close();
});
