import { parseArgs } from "node:util";
import { buildStudioIfStale, STUDIO_FOLDER } from "./app/buildStudio.ts";
import { listen, staticServer } from "./app/server.ts";

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

if (await buildStudioIfStale()) console.log("Built the studio.");
const address = await listen(staticServer(STUDIO_FOLDER), port, values.host);
console.log(`Velarium studio: ${address}  (Ctrl-C ends it)`);
