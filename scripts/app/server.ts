import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import { extname, join, normalize, resolve, sep } from "node:path";

/** Everything from this origin, nothing inline, nothing framed. `wasm-unsafe-eval` serves the solver only. */
export const CONTENT_SECURITY_POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",

  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

const TYPES: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".webmanifest": "application/manifest+json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".woff2": "font/woff2",
  ".wasm": "application/wasm",
  ".md": "text/plain; charset=utf-8",
};

/** A small static server of one folder; reads only, never leaves the folder. */
export function staticServer(folder: string): Server {
  const root = resolve(folder);
  return createServer((request, response) => {
    answer(root, request, response).catch(() => {
      if (!response.headersSent) response.writeHead(500);
      response.end();
    });
  });
}

/** Listens on the first free port from `port` on (0: any), on this machine only unless `host` says otherwise. */
export async function listen(server: Server, port: number, host = "127.0.0.1"): Promise<string> {
  for (let tried = port; ; tried++) {
    try {
      await new Promise<void>((done, fail) => {
        server.once("error", fail);
        server.listen(tried, host, () => {
          server.off("error", fail);
          done();
        });
      });
      const address = server.address();
      const bound = typeof address === "object" && address !== null ? address.port : tried;
      return `http://${host === "127.0.0.1" ? "localhost" : host}:${bound}/`;
    } catch (error) {
      const taken = (error as NodeJS.ErrnoException).code === "EADDRINUSE";
      if (!taken || port === 0 || tried >= port + 50) throw error;
    }
  }
}

async function answer(root: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
  response.setHeader("Content-Security-Policy", CONTENT_SECURITY_POLICY);
  response.setHeader("X-Content-Type-Options", "nosniff");
  response.setHeader("Referrer-Policy", "no-referrer");
  response.setHeader("Cross-Origin-Opener-Policy", "same-origin");
  if (request.method !== "GET" && request.method !== "HEAD") {
    response.writeHead(405, { Allow: "GET, HEAD" }).end();
    return;
  }
  const file = fileFor(root, request.url ?? "/");
  const found = file === null ? null : await stat(file).catch(() => null);
  if (file === null || !found?.isFile()) {
    response.writeHead(404, { "Content-Type": "text/plain; charset=utf-8" }).end("Not found");
    return;
  }
  const tag = `"${found.size.toString(16)}-${Math.trunc(found.mtimeMs).toString(16)}"`;
  response.setHeader("ETag", tag);
  response.setHeader("Content-Type", TYPES[extname(file)] ?? "application/octet-stream");
  const hashed = file.startsWith(join(root, "assets") + sep);
  response.setHeader("Cache-Control", hashed ? "public, max-age=31536000, immutable" : "no-cache");
  if (request.headers["if-none-match"] === tag) {
    response.writeHead(304).end();
    return;
  }
  response.writeHead(200, { "Content-Length": found.size });
  if (request.method === "HEAD") {
    response.end();
    return;
  }
  createReadStream(file).pipe(response);
}

/** The file that a request means, or null when it points outside the folder. */
function fileFor(root: string, url: string): string | null {
  let path: string;
  try {
    path = decodeURIComponent(new URL(url, "http://localhost").pathname);
  } catch {
    return null;
  }
  if (path.includes("\0")) return null;
  const file = normalize(join(root, path.endsWith("/") ? `${path}index.html` : path));
  return file.startsWith(root + sep) ? file : null;
}
