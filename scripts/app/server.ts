import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import { isIP } from "node:net";
import { hostname } from "node:os";
import { extname, join, normalize, resolve, sep } from "node:path";
import { pipeline } from "node:stream";
import { HEADERS } from "./policy.ts";

/** By this a second start knows that the port is taken by a studio. */
const SERVED_BY = "Velarium";

/** More than a workshop's devices open, fewer than the handles that a process has. */
const MOST_CONNECTIONS = 500;

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

/** Answers what it is asked before any file is looked for; false leaves the request to the files. */
export type Before = (request: IncomingMessage, response: ServerResponse) => Promise<boolean>;

/**
 * A small static server of one folder; reads only, never leaves the folder. It answers to the names of this machine,
 * to addresses, and to `host`: a foreign name that somebody made lead here gets nothing.
 */
export function staticServer(folder: string, host = "localhost", before?: Before): Server {
  const root = resolve(folder);
  const server = createServer((request, response) => {
    answer(root, host, before, request, response).catch(() => {
      if (!response.headersSent) response.writeHead(500);
      response.end();
    });
  });
  server.maxConnections = MOST_CONNECTIONS;
  return server;
}

/** Listens on `port` (0: any that is free), on this machine only unless `host` says otherwise. */
export async function listen(server: Server, port: number, host = "127.0.0.1"): Promise<string> {
  await new Promise<void>((done, fail) => {
    server.once("error", fail);
    server.listen(port, host, () => {
      server.off("error", fail);
      done();
    });
  });
  const address = server.address();
  return addressOf(typeof address === "object" && address !== null ? address.port : port, host);
}

export const addressOf = (port: number, host: string): string =>
  `http://${host === "127.0.0.1" ? "localhost" : isIP(host) === 6 ? `[${host}]` : host}:${port}/`;

/** Which process serves a studio at this address; null where it is something else. */
export async function whoServes(address: string): Promise<string | null> {
  const response = await fetch(address, { method: "HEAD" }).catch(() => null);
  const by = response?.headers.get("server") ?? "";
  return by.startsWith(SERVED_BY) ? by : null;
}

/** Whether a request means this machine. Names may lead here that are not ours (DNS rebinding); addresses can't. */
function isOurs(requested: string | undefined, host: string): boolean {
  const name = (requested ?? "")
    .toLowerCase()
    .replace(/:\d+$/, "")
    .replace(/^\[|\]$/g, "");
  const own = hostname().toLowerCase();
  return isIP(name) !== 0 || ["localhost", host.toLowerCase(), own, `${own}.local`].includes(name);
}

async function answer(
  root: string,
  host: string,
  before: Before | undefined,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  for (const [name, value] of Object.entries(HEADERS)) response.setHeader(name, value);
  response.setHeader("Server", `${SERVED_BY}, process ${process.pid}`);
  if (!isOurs(request.headers.host, host)) {
    response.writeHead(421, { "Content-Type": TYPES[".md"] }).end("This is not the address of this studio.");
    return;
  }
  if (await before?.(request, response)) return;
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
  // unlike pipe, this closes the file when the other side goes away
  pipeline(createReadStream(file), response, () => undefined);
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
