import { homedir } from "node:os";
import { join } from "node:path";
import { readJobFile } from "../../../src/cli/jobFile.ts";
import { printable, report } from "../../../src/cli/shell.ts";
import { readJob } from "../../../src/job/read.ts";
import type { Before } from "../server.ts";
import { ShareLog } from "./log.ts";
import { networkAddresses } from "./network.ts";
import { Share } from "./share.ts";
import { terminalCode } from "./terminalCode.ts";

interface Options {
  /** Where the records lie; else in the person's home. */
  keep?: string | undefined;
  /** Whether devices that have scanned a code have to scan again. */
  forget: boolean;
}

interface Workshop {
  before: Before;
  /** Shows the code that the next device scans, now and whenever one was used. */
  tell(port: number, host?: string): void;
}

const LINE = "-".repeat(60);

/** Opens the records, shares the job of a file if one is named; ends the process with words where that can't be. */
export async function openWorkshop(options: Options, path: string | undefined): Promise<Workshop> {
  const folder = options.keep ?? join(homedir(), ".velarium", "shared");
  const log = openLog(folder);
  if (options.forget) log.forgetDevices();
  if (path !== undefined) await shareFile(log, path);
  let show = (): void => undefined;
  const share = new Share(
    log,
    () => show(),
    (words) => console.error(printable(words)),
  );
  return {
    before: (request, response) => share.answer(request, response),
    tell: (port, host) => {
      const [first, ...others] = host === undefined ? networkAddresses() : [host];
      const title = log.list()[0]?.title;
      console.log(`Velarium studio on this computer: http://localhost:${port}/#shared  (Ctrl-C ends it)`);
      console.log(
        title === undefined ? "Open it: the job on its desk is then shared." : `Shared: ${printable(title)}`,
      );
      console.log(`What devices write is kept in ${folder}`);
      if (first === undefined) {
        console.error(
          "This computer is in no network: other devices can't reach it. Join one and start again.",
        );
        return;
      }
      share.address = `http://${first}:${port}`;
      show = () => {
        const address = share.joinAddress()!;
        console.log(`${LINE}\n${terminalCode(address)}\n${address}`);
        console.log(`Good for one device; then the next code shows here. ${devicesIn(share.devices)}`);
      };
      show();
      if (others.length > 0)
        console.log(
          `This computer is also in other networks, at ${others.join(", ")}: --host ADDRESS chooses.`,
        );
      console.log(
        "Devices in the same network only. What they send is not encrypted: who is in this network, and bent on it, can listen.",
      );
    },
  };
}

const devicesIn = (count: number): string =>
  count === 0 ? "None is in yet." : count === 1 ? "1 device is in." : `${count} devices are in.`;

function openLog(folder: string): ShareLog {
  try {
    return new ShareLog(folder);
  } catch (error) {
    console.error(`The records can't be kept in ${folder} (${String(error)}).`);
    console.error("  Choose another folder: npm start -- --share --keep FOLDER");
    process.exit(1);
  }
}

async function shareFile(log: ShareLog, path: string): Promise<void> {
  try {
    const bytes = await readJobFile(path);
    const { job } = readJob(bytes);
    log.share(
      { id: job.id!, title: job.title, from: "file" },
      Buffer.from(bytes).toString("utf8"),
      Date.now(),
    );
  } catch (error) {
    process.exit(report(error, false));
  }
}
