// A fresh browser for a test. CHROMIUM names it where it is not /usr/bin/chromium.
import { chromium } from "playwright-core";

export async function browser(more = {}) {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
    ...more,
  });
}

export const phone = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };
export const tablet = { viewport: { width: 820, height: 1180 } };
export const desk = { viewport: { width: 1440, height: 900 } };

/** The page with the engine up and the first drawing on it. */
export async function open(context, url) {
  const page = await context.newPage();
  page.faults = [];
  page.on("pageerror", (e) => page.faults.push(String(e)));
  page.on("console", (m) => m.type() === "error" && !/\/api\/|404/.test(m.text() + m.location().url) && page.faults.push(m.text()));
  await page.goto(url);
  await page.waitForSelector(".board .paper svg", { timeout: 30_000 });
  return page;
}
