// Serves web/dist for the tests of the app alone, as the program does: packed
// files under their plain names, the policy without inline script.
import { createHash } from "node:crypto";
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const dist = join(fileURLToPath(new URL(".", import.meta.url)), "../dist");
const kinds = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png", ".woff2": "font/woff2", ".wasm": "application/wasm", ".webmanifest": "application/manifest+json" };
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

export async function serve(port = 0) {
  const sent = { bytes: 0, files: {} };
  const server = createServer(async (req, res) => {
    const path = normalize(decodeURIComponent(new URL(req.url, "http://x").pathname));
    const send = (body, kind, encoding) => {
      const etag = `"${createHash("sha256").update(body).digest("hex").slice(0, 24)}"`;
      const head = { "content-type": kind, "content-security-policy": policy, "cache-control": "no-cache", etag, vary: "accept-encoding", ...(encoding ? { "content-encoding": encoding } : {}) };
      if (req.headers["if-none-match"] === etag) return res.writeHead(304, head).end();
      res.writeHead(200, head);
      sent.bytes += body.length;
      sent.files[path] = (sent.files[path] ?? 0) + body.length;
      res.end(body);
    };
    try {
      if (path.startsWith("/api")) throw new Error("no server");
      const file = join(dist, extname(path) === "" ? "index.html" : path);
      const kind = kinds[extname(file)] ?? "application/octet-stream";
      const br = /\bbr\b/.test(req.headers["accept-encoding"] ?? "") && (await readFile(file + ".br").catch(() => null));
      const gz = !br && (await readFile(file + ".gz").catch(() => null));
      if (br) send(br, kind, "br");
      else if (gz) send(gz, kind, "gzip");
      else if (/\.(js|css|html|svg|webmanifest)$/.test(file)) send(gzipSync(await readFile(file)), kind, "gzip");
      else send(await readFile(file), kind, "");
    } catch {
      res.writeHead(404).end("there is no such file");
    }
  });
  await new Promise((done) => server.listen(port, "127.0.0.1", done));
  return { url: `http://127.0.0.1:${server.address().port}`, sent, close: () => server.close() };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log((await serve(Number(process.argv[2] ?? 4173))).url);
