// Serves web/dist for the tests of the app alone, as the program does: packed
// files under their plain names, the policy without inline script.
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";

const dist = join(fileURLToPath(new URL(".", import.meta.url)), "../dist");
const kinds = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png", ".woff2": "font/woff2", ".wasm": "application/wasm", ".webmanifest": "application/manifest+json" };
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

export async function serve(port = 0) {
  const sent = { bytes: 0 };
  const server = createServer(async (req, res) => {
    const path = normalize(decodeURIComponent(new URL(req.url, "http://x").pathname));
    const send = (body, kind, packed) => {
      res.writeHead(200, { "content-type": kind, "content-security-policy": policy, "cache-control": "no-cache", ...(packed ? { "content-encoding": "gzip" } : {}) });
      sent.bytes += body.length;
      res.end(body);
    };
    try {
      if (path.startsWith("/api")) throw new Error("no server");
      const file = join(dist, extname(path) === "" ? "index.html" : path);
      const kind = kinds[extname(file)] ?? "application/octet-stream";
      try {
        send(await readFile(file + ".gz"), kind, true);
      } catch {
        send(await readFile(file), kind, false);
      }
    } catch {
      res.writeHead(404).end("there is no such file");
    }
  });
  await new Promise((done) => server.listen(port, "127.0.0.1", done));
  return { url: `http://127.0.0.1:${server.address().port}`, sent, close: () => server.close() };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log((await serve(Number(process.argv[2] ?? 4173))).url);
