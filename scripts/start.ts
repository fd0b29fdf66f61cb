import { parseArgs } from "node:util";
import { buildStudioIfStale, STUDIO_FOLDER } from "./app/buildStudio.ts";
import { addressOf, type Before, listen, staticServer, whoServes } from "./app/server.ts";

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    port: { type: "string", default: process.env["PORT"] ?? "4600" },
    host: { type: "string" },
    share: { type: "boolean", default: false },
    keep: { type: "string" },
    forget: { type: "boolean", default: false },
  },
});
const port = Number(values.port);
if (!Number.isInteger(port) || port < 0 || port > 65535)
  stop(2, `--port: expected a whole number from 0 to 65535, got ${values.port}.`);
if (!values.share && (positionals.length > 0 || values.keep !== undefined || values.forget))
  stop(2, "A job, --keep and --forget go with --share:  npm start -- --share JOB");
if (positionals.length > 1) stop(2, `One job is shared at a time, not ${positionals.length}.`);

const host = values.host ?? (values.share ? "0.0.0.0" : "127.0.0.1");
const shop = values.share
  ? await (await import("./app/share/workshop.ts")).openWorkshop(values, positionals[0])
  : null;
const address = await serve(shop?.before);
if (address !== null) {
  if (await buildStudioIfStale()) console.log("Built the studio.");
  if (shop === null) console.log(`Velarium studio: ${address}  (Ctrl-C ends it)`);
  else shop.tell(Number(new URL(address).port), values.host);
}

/** Serves the studio, or says why not; null then. */
async function serve(before?: Before): Promise<string | null> {
  try {
    return await listen(staticServer(STUDIO_FOLDER, host, before), port, host);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const address = addressOf(port, host);
    const by = code === "EADDRINUSE" ? await whoServes(addressOf(port, "127.0.0.1")) : null;
    if (by !== null) {
      console.log(
        `Velarium studio: ${addressOf(port, values.host ?? "127.0.0.1")}  (it is already served by ${by})`,
      );
      if (!values.share) return null;
      stop(1, "It shares nothing with other devices, or already does. End it first, then start this again.");
    }
    console.error(
      code === "EADDRINUSE"
        ? `Port ${port} is taken by another program. A browser keeps jobs by address, so that no other is taken by itself.`
        : `The studio can't be served at ${address} (${code ?? String(error)}).`,
    );
    stop(1, "  Free it, or choose another: npm start -- --port 4700  (with a list of jobs of its own)");
  }
}

function stop(code: number, words: string): never {
  console.error(words);
  process.exit(code);
}
