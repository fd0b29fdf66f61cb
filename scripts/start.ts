import { Command } from "commander";
import { buildStudioIfStale, STUDIO_FOLDER } from "./app/buildStudio.ts";
import { addressOf, type Before, listen, staticServer, whoServes } from "./app/server.ts";

const program = new Command("npm start --")
  .description("serve the studio to this computer, or the job on its desk to the workshop's network")
  .argument("[job]", "with --share: the job to share; that on the desk of this computer otherwise")
  .option("--port <number>", "where it is served", process.env["PORT"] ?? "4600")
  .option("--host <address>", "the network address that it is served at")
  .option("--share", "let in devices that scan the code it prints", false)
  .option("--keep <folder>", "with --share: where what devices write lies")
  .option("--forget", "with --share: let nobody in who does not scan again", false)
  .showHelpAfterError("(npm start -- --help explains)")
  .exitOverride(({ exitCode }) => process.exit(exitCode === 0 ? 0 : 2))
  .parse();
const values = program.opts<{
  port: string;
  host?: string;
  share: boolean;
  keep?: string;
  forget: boolean;
}>();
const [job] = program.args;
const port = Number(values.port);
if (!Number.isInteger(port) || port < 0 || port > 65535)
  stop(2, `--port: expected a whole number from 0 to 65535, got ${values.port}.`);
if (!values.share && (job ?? values.keep ?? values.forget))
  stop(2, "A job, --keep and --forget go with --share:  npm start -- --share JOB");

const host = values.host ?? (values.share ? "0.0.0.0" : "127.0.0.1");
const shop = values.share ? await (await import("./app/share/workshop.ts")).openWorkshop(values, job) : null;
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
