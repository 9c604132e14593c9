// The app in a real browser. Every test says what a user would lose.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { browser, desk, open, phone } from "./browser.mjs";
import { serve } from "./serve.mjs";

let server, chrome;
before(async () => {
  server = await serve();
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  server?.close();
});

const fresh = async (form = phone) => {
  const context = await chrome.newContext({ ...form, locale: "en-US", acceptDownloads: true });
  return { context, page: await open(context, server.url) };
};
const keys = async (page, ...names) => {
  for (const name of names) await page.locator(".keypad").getByRole("button", { name, exact: true }).click();
};
const go = (page, name) => page.locator(".tape button", { hasText: name }).click();
const place = (page, name) => page.locator("button.place", { hasText: name });
const says = (page, name, words) => page.locator("button.place", { hasText: `${name}: ${words}` }).waitFor({ state: "attached" });
const settled = (page) => page.waitForFunction(() => !document.querySelector(".board.old"));

/** Six readings by the keypad alone. */
async function tape(page) {
  await page.getByRole("button", { name: "Tape the eave" }).click();
  await keys(page, "1", "6", "feet ′", "0", "3/8", "Next side", "1", "2", "feet ′", "0", "1/4", "Next side", "1", "5", "feet ′", "11", "1/4");
  await page.getByRole("button", { name: "one sixteenth more" }).click();
  await keys(page, "Next side", "1", "1", "feet ′", "11", "7/8", "Next side", "2", "0", "feet ′", "0", "7/8", "Next side", "1", "9", "feet ′", "11");
  await says(page, "diagonal, B to D", "19 feet 11 inches");
}

/** A file's text in the list of all roofs. */
async function bring(page, name) {
  const text = await readFile(new URL(`../../examples/${name}`, import.meta.url));
  await page.locator(".top .job").click();
  await page.locator("input[type=file]").setInputFiles({ name, mimeType: "text/yaml", buffer: text });
  await page.waitForSelector(".board .paper .seam");
}

test("a whole job from an empty page to papers, on a phone", async () => {
  const { context, page } = await fresh();
  await tape(page);
  await says(page, "head, D to C", "15 feet 11 and 5 sixteenths inches");
  await page.getByRole("button", { name: "Done", exact: true }).click();
  await page.getByText("Not square").waitFor();
  assert.match(await page.locator(".verdict").innerText(), /leans/);
  await go(page, "Roof");
  await page.getByRole("button", { name: "2 in 12" }).click();
  await place(page, "head, C to D").click();
  await page.getByRole("button", { name: "Against a wall" }).click();
  await page.locator(".wallline").first().waitFor();
  await page.locator(".edge").getByRole("button", { name: "Done" }).click();
  const short = page.locator(".short");
  await short.getByText("sheets").waitFor();
  assert.match(await short.innerText(), /wind and snow not checked yet/);
  assert.match(await short.innerText(), /purlins missing\s+[1-9]/);
  await short.getByText("over all panels").waitFor();
  await go(page, "Set out");
  assert.ok((await page.locator(".option").count()) >= 2, "no other set-out to compare with");
  const rip = () => page.locator(".options tbody tr").first().innerText();
  await page.locator(".option").nth(1).click();
  const want = (await page.locator(".options tbody tr").first().locator("td").nth(1).innerText()).trim();
  await page.getByRole("button", { name: "Keep B" }).click();
  await page.waitForFunction((w) => document.querySelector(".options tbody tr td")?.innerText.trim() === w, want);
  assert.ok((await rip()).includes(want));
  await go(page, "Price");
  await page.locator(".total b").waitFor();
  await go(page, "Order");
  const box = page.locator(".goods [role=checkbox]").first();
  await box.click();
  assert.equal(await box.getAttribute("aria-checked"), "true");
  await go(page, "Papers");
  await page.getByRole("button", { name: "Make the papers" }).click();
  const [file] = await Promise.all([page.waitForEvent("download"), page.locator(".files a", { hasText: "Site sheet" }).click()]);
  const pdf = await readFile(await file.path());
  assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
  assert.ok(pdf.length > 20_000);
  assert.deepEqual(page.faults, []);
  await context.close();
});

test("millimetres: the same frame gives the same verdict", async () => {
  const { context, page } = await fresh();
  await page.getByRole("button", { name: "millimetres" }).click();
  await page.getByRole("button", { name: "Tape the eave" }).click();
  for (const r of ["4886", "3664", "4859", "3655", "6118", "6071"]) await keys(page, ...r, "Next side");
  await page.getByRole("button", { name: "Done", exact: true }).click();
  await page.getByText("Not square").waitFor();
  assert.match(await page.locator(".verdict").innerText(), /leans \d+ mm to the right/);
  await says(page, "eave, A to B", "4886 millimetres");
  await page.getByRole("button", { name: "feet and inches" }).click();
  await says(page, "eave, A to B", "16 feet");
  await context.close();
});

test("a reading that cannot be is told where it stands, and names itself", async () => {
  const { context, page } = await fresh();
  await bring(page, "lean-16x12.yaml");
  await place(page, "head, D to C").click();
  await keys(page, "1", "6", "feet ′", "9");
  await page.locator(".verdict.misread").waitFor();
  await page.getByRole("button", { name: "Done", exact: true }).click();
  await page.locator(".findings .tag.stop").first().waitFor();
  assert.match(await page.locator(".findings").first().innerText(), /CD/);
  await page.getByRole("button", { name: "Go to the reading" }).first().click();
  await page.locator(".keypad").waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction(() => !document.querySelector(".verdict.misread"));
  await context.close();
});

test("keyboard only: readings, the next side, undo and a wrong word", async () => {
  const { context, page } = await fresh(desk);
  const press = (k) => page.keyboard.press(k);
  for (let i = 0; i < 8; i++) {
    await press("Tab");
    if (await page.evaluate(() => document.activeElement?.matches("button.place"))) break;
  }
  assert.ok(await page.evaluate(() => document.activeElement?.matches("button.place")), "the drawing cannot be reached with Tab");
  await press("ArrowRight");
  await press("ArrowLeft");
  await press("Enter");
  await page.locator(".keypad").waitFor();
  await page.keyboard.type("16' 0 3/8\"");
  await press("Enter");
  await says(page, "eave, A to B", "16 feet 0 and 3 eighths inches");
  await page.locator(".keypad[aria-label*='B to C']").waitFor();
  await page.keyboard.type("12.5.3");
  await press("Enter");
  await page.locator(".keypad .wrong").waitFor();
  assert.match(await page.locator(".keypad .wrong").innerText(), /accepted/);
  for (let i = 0; i < 6; i++) await press("Backspace");
  await page.keyboard.type("3.66 m");
  await press("Enter");
  await page.locator(".keypad[aria-label*='D to C']").waitFor();
  await says(page, "right verge, B to C", "12 feet");
  await press("Escape");
  assert.equal(await page.locator(".keypad").count(), 0);
  assert.ok(await page.evaluate(() => document.activeElement?.matches("button.place")), "the place on the drawing is lost");
  await press("Control+z");
  await says(page, "right verge, B to C", "not read yet");
  await press("Control+y");
  await says(page, "right verge, B to C", "12 feet");
  await context.close();
});

test("a tab that is killed keeps every reading and its place", async () => {
  const { context, page } = await fresh();
  await tape(page);
  await page.waitForTimeout(150);
  await page.close({ runBeforeUnload: false });
  const again = await open(context, server.url);
  await says(again, "diagonal, B to D", "19 feet 11 inches");
  await says(again, "eave, A to B", "16 feet 0 and 3 eighths inches");
  await context.close();
});

test("a phone that locks on the ladder comes back to the same step and readings", async () => {
  const { context, page } = await fresh();
  await bring(page, "square-8x8.yaml");
  await go(page, "Build");
  const title = () => page.locator(".hand h1").innerText();
  await page.locator(".onward .go").waitFor();
  for (let i = 0; i < 40 && !(await title()).startsWith("Clip"); i++) {
    const was = await page.locator(".hand .where").innerText();
    await page.locator(".onward .go").click();
    await page.waitForFunction((w) => document.querySelector(".hand .where")?.innerText !== w, was);
  }
  const step = await title();
  assert.match(step, /^Clip/);
  await page.getByRole("button", { name: "one division more" }).click();
  await page.locator(".landed", { hasText: "past" }).waitFor();
  for (let i = 0; i < 14; i++) {
    const was = await page.locator(".landed .is").innerText();
    await page.getByRole("button", { name: "one division more" }).click();
    await page.waitForFunction((w) => document.querySelector(".landed .is")?.innerText !== w, was);
  }
  await page.locator(".advice.lift, .advice.correct, .advice.read-again").waitFor();
  const advice = await page.locator(".advice").first().innerText();
  await page.locator("input[type=file][capture]").setInputFiles(new URL("../public/icon.svg", import.meta.url).pathname);
  await page.locator(".photos img").waitFor();
  await page.close();
  const again = await open(context, server.url);
  await again.locator(".hand h1", { hasText: step }).waitFor();
  await again.locator(".photos img").waitFor();
  await again.locator(".advice", { hasText: advice.slice(0, 12) }).waitFor();
  // the job changes afterwards: what is fixed keeps its marks
  await again.locator(".onward .go").click();
  await again.waitForFunction((t) => document.querySelector(".hand h1")?.innerText !== t, step);
  const mark = await again.evaluate(() => document.querySelector(".tapestrip")?.getAttribute("aria-label") ?? "");
  await go(again, "Measure");
  await place(again, "eave, A to B").click();
  await again.getByRole("button", { name: "one sixteenth more" }).click();
  await again.getByRole("button", { name: "Done", exact: true }).click();
  await go(again, "Build");
  await again.getByText("still the ones it was fixed by").waitFor();
  assert.equal(await again.evaluate(() => document.querySelector(".tapestrip")?.getAttribute("aria-label") ?? ""), mark);
  await context.close();
});

test("with the network off after one visit it starts, plans and keeps", async () => {
  const { context, page } = await fresh();
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(async () => !!(await (await caches.open("engine-1")).match("/engine/engine.wasm")) && !!(await (await caches.open("engine-1")).match("/engine/papers.wasm")), null, { timeout: 60_000 });
  await page.reload();
  await context.setOffline(true);
  await page.reload();
  await page.waitForSelector(".board .paper svg");
  await tape(page);
  await page.getByRole("button", { name: "Done", exact: true }).click();
  await page.getByText("Not square").waitFor();
  await go(page, "Roof");
  await page.getByRole("button", { name: "2 in 12" }).click();
  await page.locator(".short dd").first().waitFor();
  await go(page, "Papers");
  await page.getByRole("button", { name: "Make the papers" }).click();
  await page.locator(".files a").first().waitFor();
  await context.close();
});

test("axe finds nothing serious on any stage, in any light", async () => {
  const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  const { context, page } = await fresh();
  await bring(page, "lean-16x12.yaml");
  const look = async (where) => {
    await page.evaluate(axe); // not a script tag: the policy forbids it
    const found = await page.evaluate(async () => {
      const r = await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] });
      return r.violations.filter((v) => ["serious", "critical"].includes(v.impact)).map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((x) => x.target.join(" ") + " " + (x.any[0]?.message ?? "")).join(" | ")}`);
    });
    assert.deepEqual(found, [], where);
  };
  for (const light of ["day", "sun", "dark"]) {
    await page.locator(".top .job").click();
    await page.locator(".words[aria-label=Light]").getByRole("button", { name: light }).click();
    await look(`all roofs, ${light}`);
    await page.locator(".top .job").click();
    for (const s of ["Measure", "Roof", "Set out", "Checks", "Price", "Order", "Papers", "Build", "After"]) {
      await go(page, s);
      await settled(page);
      await page.waitForFunction(() => !document.querySelector(".notes > .nothing"), null, { timeout: 30_000 });
      await look(`${s}, ${light}`);
    }
    await page.getByRole("button", { name: "It leaks" }).click();
    await page.getByRole("button", { name: "P2", exact: true }).click();
    await page.locator(".looks li").first().waitFor();
    await look(`call back, ${light}`);
    await go(page, "Measure");
    await settled(page);
    await place(page, "eave, A to B").click();
    await page.locator(".keypad").waitFor();
    await look(`keypad, ${light}`);
    await page.getByRole("button", { name: "Done", exact: true }).click();
  }
  await context.close();
});

test("every target is at least 44 px, but for marks on the drawing", async () => {
  const { context, page } = await fresh();
  await bring(page, "lean-16x12.yaml");
  for (const s of ["Measure", "Roof", "Set out", "Price", "Order", "Papers", "Build", "After"]) {
    await go(page, s);
    await settled(page);
    if (s === "After") {
      await page.getByRole("button", { name: "It rattles" }).click();
      await page.getByRole("button", { name: "S1", exact: true }).click();
      await page.locator(".looks li").first().waitFor();
    }
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("button, a[href], summary, input:not(.vh)")]
        .filter((e) => !e.matches(".place, .flag") && e.getClientRects().length)
        .map((e) => ({ t: e.textContent.trim().slice(0, 30), r: e.getBoundingClientRect() }))
        .filter(({ r }) => r.height < 43.5 || r.width < 43.5)
        .map(({ t, r }) => `${t} ${r.width.toFixed(0)}×${r.height.toFixed(0)}`),
    );
    assert.deepEqual(small, [], s);
  }
  await context.close();
});

test("a file that is no job is refused with the words of the reader, and nothing is lost", async () => {
  const { context, page } = await fresh();
  await page.locator(".top .job").click();
  await page.locator("input[type=file]").setInputFiles({ name: "bad.yaml", mimeType: "text/yaml", buffer: Buffer.from("seamwright: 1\nname: x\nunits: inch\nsytem: twin8-600\n") });
  await page.locator(".wrong").first().waitFor();
  assert.match(await page.locator(".list").innerText(), /did you mean system/);
  await context.close();
});

test("what is saved as a file comes back as the same job", async () => {
  const { context, page } = await fresh();
  await bring(page, "gable-2planes.yaml");
  const saw = () => page.locator(".board > p.vh").innerText();
  const before = await saw();
  await page.locator(".top .job").click();
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  const text = await readFile(await file.path());
  await page.locator("input[type=file]").setInputFiles({ name: "again.yaml", mimeType: "text/yaml", buffer: text });
  await page.waitForSelector(".board .paper .seam");
  assert.equal(await saw(), before);
  await context.close();
});

test("one broken panel: what comes off and what to order", async () => {
  const { context, page } = await fresh();
  await bring(page, "square-8x8.yaml");
  await go(page, "After");
  await settled(page);
  await page.locator("button.place", { hasText: "P2" }).click();
  await page.getByRole("heading", { name: /To replace P2/ }).waitFor();
  assert.ok((await page.locator(".numbered li").count()) >= 2);
  assert.match(await page.locator(".notes").innerText(), /Order again/);
  await context.close();
});

test("a customer calls: by keyboard alone, then by touching the drawing, what to look at and what to bring", async () => {
  const { context, page } = await fresh();
  await bring(page, "square-8x8.yaml");
  await go(page, "After");
  await settled(page);
  const tabTo = async (name) => {
    for (let i = 0; i < 80; i++) {
      if ((await page.evaluate(() => document.activeElement?.textContent?.trim())) === name) return;
      await page.keyboard.press("Tab");
    }
    throw new Error(`Tab never reaches ${name}`);
  };
  await tabTo("A cap has lifted");
  await page.keyboard.press("Enter");
  await page.getByRole("group", { name: "Seam" }).waitFor();
  await tabTo("S1");
  await page.keyboard.press("Space");
  await page.locator(".looks li", { hasText: "Seam S1." }).waitFor();
  assert.match(await page.locator(".notes").innerText(), /Bring, or order[\s\S]*Nobody steps on a panel/i);
  await page.getByRole("button", { name: "It leaks" }).click();
  await page.locator("button.place", { hasText: "P2" }).click();
  await page.locator(".looks li", { hasText: "P2" }).first().waitFor();
  await page.getByRole("button", { name: "It leaks" }).click();
  await page.getByRole("heading", { name: "Replace a panel" }).waitFor();
  await context.close();
});

test("an own catalogue: its faults in the reader's words, then its prices in the bill", async () => {
  const { context, page } = await fresh(desk);
  await bring(page, "square-8x8.yaml");
  await go(page, "Price");
  await settled(page);
  const total = () => page.locator(".total b").innerText();
  const before = await total();
  await page.locator(".top .job").click();
  await page.getByText("Catalogue and shop").click();
  await page.getByRole("button", { name: "shop-inch.yaml" }).click();
  const area = page.locator("#own-catalogue");
  const text = await area.inputValue();
  await area.fill(text.replace("hourly_rate", "hourly_rat"));
  await page.getByRole("button", { name: "Use it" }).click();
  await page.locator("pre.wrong", { hasText: "did you mean hourly_rate" }).waitFor();
  await area.fill(text.replace(/margin: *[\d.]+ *%/, "margin: 60 %"));
  await page.getByRole("button", { name: "Use it" }).click();
  await page.getByText("In use from now on").waitFor();
  await page.locator(".top .job").click();
  await page.waitForFunction((b) => document.querySelector(".total b")?.innerText !== b, before);
  const own = await total();
  await page.reload();
  await page.waitForFunction((o) => document.querySelector(".total b")?.innerText === o, own);
  await context.close();
});
