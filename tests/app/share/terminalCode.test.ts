import fc from "fast-check";
import jsQR from "jsqr";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test, vi } from "vitest";
import { listen, staticServer } from "../../../scripts/app/server.ts";
import { networkAddresses } from "../../../scripts/app/share/network.ts";
import { terminalCode } from "../../../scripts/app/share/terminalCode.ts";
import { openWorkshop } from "../../../scripts/app/share/workshop.ts";
import { JOB_TEXT, JOB_ID } from "./workshop.ts";

const MODULE_PX = 4;
const LIGHT: Record<string, [upper: boolean, lower: boolean]> = {
  "█": [true, true],
  "▀": [true, false],
  "▄": [false, true],
  " ": [false, false],
};

/** What a camera sees of a terminal: half blocks in the colours that are written before them. */
function seen(text: string): { data: Uint8ClampedArray; width: number; height: number } {
  const rows = text.split("\n").flatMap((line) => {
    // eslint-disable-next-line no-control-regex -- what a terminal obeys
    const found = /^\u001b\[97;40m([█▀▄ ]+)\u001b\[0m$/.exec(line);
    if (!found) throw new Error(`not a line of a code in its own colours: ${JSON.stringify(line)}`);
    const halves = [...found[1]!].map((block) => LIGHT[block]!);
    return [halves.map(([upper]) => upper), halves.map(([, lower]) => lower)];
  });
  const [width, height] = [rows[0]!.length * MODULE_PX, rows.length * MODULE_PX];
  const data = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const light = rows[Math.floor(y / MODULE_PX)]![Math.floor(x / MODULE_PX)];
      data.set([...Array<number>(3).fill(light ? 255 : 0), 255], (y * width + x) * 4);
    }
  return { data, width, height };
}

test("another library reads the address back from what the terminal shows", () => {
  const part = fc.integer({ min: 0, max: 255 });
  const secret = fc
    .uint8Array({ minLength: 16, maxLength: 16 })
    .map((bytes) => Buffer.from(bytes).toString("base64url"));
  const address = fc
    .tuple(part, part, part, part, fc.integer({ min: 1, max: 65535 }), secret)
    .map(([a, b, c, d, port, code]) => `http://${a}.${b}.${c}.${d}:${port}/join#${code}`);
  fc.assert(
    fc.property(address, (text) => {
      const { data, width, height } = seen(terminalCode(text));
      expect(jsQR(data, width, height, { inversionAttempts: "dontInvert" })?.data).toBe(text);
    }),
    { seed: 20_261_127, numRuns: 30 },
  );
});

test("a job named at the start is shared from its file; what is printed lets one device in, then the next is", async () => {
  const folder = mkdtempSync(join(tmpdir(), "velarium-workshop-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const printed: string[] = [];
  const printer = vi.spyOn(console, "log").mockImplementation((line: string) => void printed.push(line));
  onTestFinished(() => printer.mockRestore());
  writeFileSync(join(folder, "room.velarium.json"), JOB_TEXT);
  const kept = join(folder, "kept");
  const workshop = await openWorkshop({ keep: kept, forget: false }, join(folder, "room.velarium.json"));
  const server = staticServer(folder, "localhost", workshop.before);
  const url = await listen(server, 0);
  const { port } = new URL(url);
  workshop.tell(Number(port), "192.168.1.20");
  const address = (): string => {
    const block = printed.findLast((line) => line.includes("\u001b[97;40m"))!;
    const { data, width, height } = seen(
      block
        .split("\n")
        .filter((line) => line.startsWith("\u001b"))
        .join("\n"),
    );
    return jsQR(data, width, height)!.data;
  };
  const first = address();
  expect(first).toMatch(new RegExp(`^http://192\\.168\\.1\\.20:${port}/join#[\\w-]{22}$`));
  const put = { method: "PUT", body: JOB_TEXT, headers: { "content-type": "application/json" } };
  expect((await fetch(`${url}share/jobs/${JOB_ID}/design`, put)).status).toBe(409);
  const body = JSON.stringify({ code: first.split("#")[1] });
  const joined = await fetch(`${url}share/join`, { ...put, method: "POST", body });
  expect(joined.status).toBe(200);
  expect(address()).not.toBe(first);
  expect(printed.join("\n")).toContain("1 device is in.");
  server.closeAllConnections();
  await new Promise((done) => server.close(done));
});

test("a code is no wider than a terminal of 80 columns", () => {
  const longest = `http://255.255.255.255:65535/join#${"W".repeat(22)}`;
  expect(seen(terminalCode(longest)).width / MODULE_PX).toBeLessThan(80);
});

test("of several networks the one that a workshop's router makes is shown; none that leads nowhere else", () => {
  const at = (address: string, internal = false, family = "IPv4") => ({ address, internal, family }) as never;
  const found = networkAddresses({
    lo: [at("127.0.0.1", true)],
    tunnel: [at("10.8.0.2"), at("fe80::1", false, "IPv6")],
    bridge: [at("172.17.0.1")],
    unset: [at("169.254.7.7")],
    wireless: [at("192.168.1.20")],
  });
  expect(found).toEqual(["192.168.1.20", "10.8.0.2", "172.17.0.1"]);
});
