import { parseArgs } from "node:util";
import { buildStudioIfStale, STUDIO_FOLDER } from "./app/buildStudio.ts";
import { addressOf, listen, staticServer, whoServes } from "./app/server.ts";

const { values } = parseArgs({
  options: {
    port: { type: "string", default: process.env["PORT"] ?? "4600" },
    host: { type: "string", default: "127.0.0.1" },
  },
});
const port = Number(values.port);
if (!Number.isInteger(port) || port < 0 || port > 65535) {
  console.error(`--port: expected a whole number from 0 to 65535, got ${values.port}.`);
  process.exit(2);
}

const address = await serve();
if (address !== null) {
  if (await buildStudioIfStale()) console.log("Built the studio.");
  console.log(`Velarium studio: ${address}  (Ctrl-C ends it)`);
}

/** Serves the studio, or says why not; null then. */
async function serve(): Promise<string | null> {
  try {
    return await listen(staticServer(STUDIO_FOLDER, values.host), port, values.host);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const address = addressOf(port, values.host);
    const by = code === "EADDRINUSE" ? await whoServes(address) : null;
    if (by !== null) {
      console.log(`Velarium studio: ${address}  (it is already served by ${by})`);
      return null;
    }
    console.error(
      code === "EADDRINUSE"
        ? `Port ${port} is taken by another program. A browser keeps jobs by address, so that no other is taken by itself.`
        : `The studio can't be served at ${address} (${code ?? String(error)}).`,
    );
    console.error("  Free it, or choose another: npm start -- --port 4700  (with a list of jobs of its own)");
    process.exitCode = 1;
    return null;
  }
}
