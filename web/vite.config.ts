import { svelte } from "@sveltejs/vite-plugin-svelte";
// @ts-expect-error node types are not installed; the build runs under node
import { createHash } from "node:crypto";
// @ts-expect-error as above
import { readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { defineConfig, type Plugin } from "vite";

/** Writes dist/sw.js with the list of files it keeps, named by their content. */
function offline(): Plugin {
  const walk = (dir: string): string[] =>
    readdirSync(dir).flatMap((f: string) => (statSync(`${dir}/${f}`).isDirectory() ? walk(`${dir}/${f}`) : [`${dir}/${f}`]));
  let out = "dist";
  return {
    name: "offline",
    apply: "build",
    configResolved(c) {
      out = c.build.outDir;
    },
    buildStart() {
      rmSync(`${out}/assets`, { recursive: true, force: true });
    },
    closeBundle() {
      const files = walk(out)
        .filter((f) => !/^\/(engine\/|sw\.js|\.gitkeep|assets\/View3D-)/.test(f.slice(out.length))) // the view in space keeps itself when it is opened
        .sort();
      const hash = createHash("sha256");
      for (const f of files) hash.update(f.slice(out.length)).update(readFileSync(f));
      const list = files.map((f) => f.slice(out.length)).map((f) => (f === "/index.html" ? "/" : f));
      const text = readFileSync("src/sw.js", "utf8")
        .replace('"__NAME__"', JSON.stringify("app-" + hash.digest("hex").slice(0, 16)))
        .replace('"__FILES__"', JSON.stringify(list));
      writeFileSync(`${out}/sw.js`, text);
    },
  };
}

export default defineConfig({
  plugins: [svelte(), offline()],
  build: { target: "es2022", emptyOutDir: false, assetsInlineLimit: 0, modulePreload: { polyfill: false } },
  worker: { format: "es" },
});
