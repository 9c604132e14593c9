// The app with the real program behind it: what is sent on, and what happens
// when two devices change one roof.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
import { browser, desk, open, phone } from "./browser.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
let dir, program, child, url, chrome;

async function started(data, port = 0) {
  const child = spawn(program, ["serve", "--addr", `127.0.0.1:${port}`, "--data", data]);
  const url = await new Promise((resolve, reject) => {
    let text = "";
    const read = (b) => {
      text += b;
      const m = /http:\/\/127\.0\.0\.1:\d+/.exec(text);
      if (m) resolve(m[0]);
    };
    child.stdout.on("data", read);
    child.stderr.on("data", read);
    child.on("exit", () => reject(new Error(text)));
  });
  return { child, url };
}

before(async () => {
  dir = await mkdtemp(join(tmpdir(), "seamwright-"));
  program = join(dir, "seamwright");
  execFileSync("go", ["build", "-trimpath", "-o", program, "./cmd/seamwright"], { cwd: root, stdio: "inherit" });
  ({ child, url } = await started(join(dir, "data")));
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  child?.kill();
  if (dir) await rm(dir, { recursive: true, force: true });
});

const device = async (form) => {
  const context = await chrome.newContext({ ...form, locale: "en-US" });
  return { context, page: await open(context, url) };
};
const round = (page) => page.evaluate(() => dispatchEvent(new Event("online")));
const says = (page, name, words) => page.locator("button.place", { hasText: `${name}: ${words}` }).waitFor({ state: "attached" });

async function read(page, text) {
  await page.locator("button.place").first().click();
  await page.locator(".keypad").waitFor();
  await page.keyboard.type(text);
  await page.keyboard.press("Enter");
  await page.locator(".keypad[aria-label*='B to C']").waitFor();
  await page.getByRole("button", { name: "Done", exact: true }).click();
}
async function named(page, name) {
  await page.locator("#f-name").fill(name);
  await page.locator("#f-name").blur();
  await page.locator(".top .name", { hasText: name }).waitFor();
}
const reaches = async (name, n) => {
  for (let i = 0; i < 100; i++) {
    const { jobs } = await (await fetch(`${url}/api/jobs`)).json();
    const j = (jobs ?? []).find((x) => x.name === name);
    if (j && j.head >= n) return j;
    await new Promise((r) => setTimeout(r, 100));
  }
  throw new Error(`${name} did not reach the server`);
};

test("two devices change one roof with no network between: both stay, the difference is shown, one is chosen", async () => {
  const a = await device(phone);
  await read(a.page, "16'");
  await named(a.page, "Shed behind the barn");
  await round(a.page);
  const job = await reaches("Shed behind the barn", 1);
  const b = await device(desk);
  await round(b.page);
  await b.page.locator(".top .job").click();
  await b.page.getByRole("button", { name: /^Shed behind the barn/ }).first().click();
  await says(b.page, "eave, A to B", "16 feet");
  await a.context.setOffline(true);
  await read(a.page, "17'");
  await read(b.page, "15' 6\"");
  await round(b.page);
  await reaches("Shed behind the barn", job.head + 1);
  await a.context.setOffline(false);
  await round(a.page);
  await a.page.getByText("Two versions.").click();
  const table = await a.page.locator(".rival table").innerText();
  assert.match(table, /tapes\.AB\s+15' 6"\s+17' 0"/);
  await a.page.getByRole("button", { name: "Keep this device's" }).click();
  await a.page.locator(".rival").waitFor({ state: "detached" });
  await round(b.page);
  await b.page.locator("button.place", { hasText: "eave, A to B: 17 feet" }).waitFor({ state: "attached" });
  await a.context.close();
  await b.context.close();
});

test("a server with a password: the app asks for it, says what is wrong, and goes on sending", async () => {
  const data = join(dir, "locked");
  execFileSync(program, ["serve", "--data", data, "--set-password"], { input: "correct horse battery staple\n", stdio: ["pipe", "ignore", "inherit"] });
  const { child: locked, url: at } = await started(data);
  const context = await chrome.newContext({ ...phone, locale: "en-US" });
  try {
    const page = await open(context, at);
    await read(page, "16'");
    await named(page, "Behind a password");
    await page.getByRole("button", { name: /Not sent on/ }).click();
    const field = page.getByLabel("Password");
    await field.fill("not the right one");
    await page.keyboard.press("Enter");
    await page.locator("#login-wrong", { hasText: "The password is not right" }).waitFor();
    for (let i = 0; i < 9; i++) await page.evaluate(() => fetch("/api/session", { method: "POST", headers: { "Content-Type": "application/json" }, body: '{"password":"wrong again"}' }));
    await page.getByRole("button", { name: "Log in", exact: true }).click();
    await page.locator("#login-wrong", { hasText: /Too many attempts to log in\. Try again in \d minutes/ }).waitFor();
    locked.kill(); // the count of attempts is kept in memory
    await new Promise((done) => locked.once("exit", done));
    const again = await started(data, new URL(at).port);
    try {
      await field.fill("correct horse battery staple");
      await page.keyboard.press("Enter");
      await page.locator(".login").waitFor({ state: "detached" });
      await page.getByText("The office has it.").waitFor();
    } finally {
      again.child.kill();
    }
  } finally {
    locked.kill();
    await context.close();
  }
});

// Floating point differs in the last digits between WebAssembly and the machine.
function same(a, b, path = "") {
  if (typeof a === "number" && typeof b === "number") {
    assert.ok(Math.abs(a - b) <= 1e-7 * Math.max(1, Math.abs(a), Math.abs(b)), `${path}: ${a} and ${b}`);
    return;
  }
  if (a === null || b === null || typeof a !== "object") return assert.deepEqual(a, b, path);
  assert.deepEqual(Object.keys(a).sort(), Object.keys(b).sort(), path);
  for (const k of Object.keys(a)) same(a[k], b[k], `${path}.${k}`);
}

test("the same job gives the same plan in the page's engine, through the server and on the command line", async () => {
  const file = join(root, "examples/square-8x8.yaml");
  const text = await readFile(file, "utf8");
  let out = "";
  try {
    out = execFileSync(program, ["plan", file, "--json"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  } catch (e) {
    out = e.stdout; // a stop in the plan ends the program with 2
  }
  const line = JSON.parse(out);
  const api = await (await fetch(`${url}/api/plan`, { method: "POST", headers: { "Content-Type": "application/yaml" }, body: text })).json();
  await import(join(root, "web/dist/engine/wasm_exec.js"));
  const go = new globalThis.Go();
  const wasm = gunzipSync(await readFile(join(root, "web/dist/engine/engine.wasm.gz")));
  const { instance } = await WebAssembly.instantiate(wasm, go.importObject);
  void go.run(instance);
  const page = JSON.parse(globalThis.seamwright("plan", "square-8x8.yaml", text)).plan;
  same(page, line, "page, command line");
  same(api.plan ?? api, line, "server, command line");
});
