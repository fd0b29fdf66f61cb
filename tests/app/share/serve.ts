// The server of a shared job in a process of its own, to be killed: `serve.ts KEPT STUDIO`. Says its address.
import { listen, staticServer } from "../../../scripts/app/server.ts";
import { ShareLog } from "../../../scripts/app/share/log.ts";
import { Share } from "../../../scripts/app/share/share.ts";

const [kept = "", studio = ""] = process.argv.slice(2);
const share = new Share(
  new ShareLog(kept),
  () => undefined,
  (words) => console.error(words),
);
const server = staticServer(studio, "localhost", (request, response) => share.answer(request, response));
const address = await listen(server, 0);
console.log(address);
