import fc from "fast-check";
import { afterEach, expect, test } from "vitest";
import type { Entry } from "../../../src/record/entry.ts";
import { unheard } from "../../../src/record/record.ts";
import { type Standing, Sync } from "../../../src/app/state/share/sync.ts";
import { standingWords } from "../../../src/app/state/share/words.ts";
import { entry } from "./entries.ts";
import { JOB_ID, TestWorkshop } from "./workshop.ts";

/** A device with a record, in a network that can fail. */
class Device {
  readonly entries: Entry[] = [];
  standings: Standing[] = [];
  /** Nothing gets through; or what is asked arrives, and the answer is lost. */
  network: "good" | "cut" | "answers are lost" = "good";
  private readonly sync: Sync;
  private readonly run: string;
  private made = 0;

  constructor(run: string, at: TestWorkshop, cookie: object) {
    this.run = run;
    const record = {
      entries: () => this.entries,
      add: (more: readonly Entry[]) =>
        Promise.resolve(void this.entries.push(...unheard(this.entries, more))),
    };
    const events = {
      standing: (standing: Standing) => void this.standings.push(standing),
      design: () => Promise.resolve(),
    };
    this.sync = new Sync(JOB_ID, record, events, async (path, init) => {
      if (this.network === "cut") throw new TypeError("no network");
      const aborted = new Promise<never>((_, fail) =>
        init.signal?.addEventListener("abort", () => fail(new TypeError("broken off"))),
      );
      const asked = at.ask(path, {
        method: init.method ?? "GET",
        body: init.body as string,
        headers: cookie,
      });
      asked.catch(() => undefined);
      const { status, text } = await Promise.race([asked, aborted]);
      if (this.network !== "good") throw new TypeError("the answer is lost");
      return new Response(text, { status });
    });
  }

  start(): this {
    void this.sync.run();
    return this;
  }

  did(count = 1): void {
    const fresh = Array.from({ length: count }, () => entry(++this.made, this.run));
    this.entries.push(...fresh);
    this.sync.did(fresh);
  }

  cut(how: "cut" | "answers are lost" = "cut"): void {
    this.network = how;
    this.sync.lost();
  }

  mend(): void {
    this.network = "good";
    this.sync.tryNow();
  }

  /** Takes over a record that came as a file. */
  opens(entries: readonly Entry[]): void {
    this.entries.push(...unheard(this.entries, entries));
    this.sync.lookAgain();
  }

  stop(): void {
    this.sync.stop();
  }

  get standing(): string {
    return standingWords(this.standings.at(-1)!);
  }

  get ids(): string[] {
    return this.entries.map(({ id }) => id).sort();
  }
}

/** Every device has these entries, so many. */
const alike = (count: number): Promise<void> =>
  expect
    .poll(() => new Set(devices.map(({ ids }) => ids.join())).size === 1 && devices[0]!.ids.length, {
      timeout: 15_000,
    })
    .toBe(count);

let at: TestWorkshop;
let devices: Device[] = [];
async function workshop(count: number): Promise<Device[]> {
  at = await new TestWorkshop().open();
  await at.shareJob();
  devices = [];
  for (let i = 0; i < count; i++) devices.push(new Device(`ab0${i}`, at, await at.joined()));
  return devices;
}
afterEach(async () => {
  for (const device of devices) device.stop();
  await at.remove();
});

test("two devices: each hears the other; one goes on alone and catches up; both say so", async () => {
  const [one, two] = (await workshop(2)) as [Device, Device];
  one.did(3);
  one.start();
  two.start();
  await expect.poll(() => two.ids).toEqual(one.ids);
  await expect
    .poll(() => [one.standing, two.standing])
    .toEqual(["Shared with 1 device", "Shared with 1 device"]);
  two.did();
  await alike(4);
  two.cut();
  await expect.poll(() => two.standing).toBe("Alone; catches up later");
  two.did(2);
  expect(two.standing).toBe("Alone; catches up later with 2 entries");
  one.did();
  expect(one.ids).not.toEqual(two.ids);
  two.mend();
  await alike(7);
  expect(at.log.job(JOB_ID)!.at).toBe(7);
  await expect.poll(() => two.standing).toBe("Shared with 1 device");
});

test("the computer that shares is started again, or lost its log: everybody has everything all the same", async () => {
  const [one, two] = (await workshop(2)) as [Device, Device];
  one.start().did(5);
  two.start().did(5);
  await alike(10);
  for (const device of devices) device.cut();
  const { port } = new URL(at.url);
  await at.close();
  one.did();
  await at.open(undefined, Number(port));
  for (const device of devices) device.mend();
  await alike(11);

  for (const device of devices) device.cut();
  const sums = at.log.deviceSums();
  await at.close();
  at.useLog("another log");
  await at.open(undefined, Number(port), sums);
  two.did();
  for (const device of devices) device.mend();
  await expect.poll(() => two.standing).toMatch(/^Alone/);
  await at.shareJob();
  await alike(12);
  await expect.poll(() => at.log.job(JOB_ID)!.at).toBe(12);
});

test("what came to one device as a file comes to the others too", async () => {
  const [one, two] = (await workshop(2)) as [Device, Device];
  one.start().did(2);
  two.start();
  await alike(2);
  two.opens([...one.entries, entry(1, "f11e"), entry(2, "f11e")]);
  two.did();
  await alike(5);
  await expect.poll(() => two.standing).toBe("Shared with 1 device");
});

test("a device that is not let in any more stops, and says why", async () => {
  const [one] = (await workshop(1)) as [Device];
  at.log.forgetDevices();
  const { port } = new URL(at.url);
  await at.close();
  await at.open(undefined, Number(port));
  one.start();
  await expect.poll(() => one.standings.at(-1)?.kind).toBe("refused");
  expect(one.standing).toContain("Scan the code");
});

test("an entry that is not taken is said, and does not stop what others tell", async () => {
  const [one, two] = (await workshop(2)) as [Device, Device];
  one.start();
  two.start();
  await expect.poll(() => one.standing).toBe("Shared with 1 device");
  const odd = { id: "not an id" } as Entry;
  one.entries.push(odd);
  (one as unknown as { sync: Sync }).sync.did([odd]);
  await expect.poll(() => one.standing).toMatch(/^Not shared: Not taken/);
  two.did();
  await expect.poll(() => one.entries.length).toBe(2);
  expect(one.standing).toMatch(/^Not shared: Not taken/);
});

test("whatever fails in whatever order, three devices come to the same record", async () => {
  const step = fc.oneof(
    fc.record({ who: fc.nat(2), does: fc.constantFrom("did", "did", "cut", "lose", "mend") }),
    fc.record({ who: fc.nat(2), does: fc.constant("rests") }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 5, maxLength: 25 }), async (steps) => {
      const all = await workshop(3);
      for (const device of all) device.start();
      for (const { who, does } of steps) {
        const device = all[who]!;
        if (does === "did") device.did(1 + (who % 2));
        else if (does === "cut") device.cut();
        else if (does === "lose") device.cut("answers are lost");
        else if (does === "mend") device.mend();
        else await new Promise((done) => setTimeout(done, 5));
      }
      for (const device of all) device.mend();
      const mine = new Set(all.flatMap(({ ids }) => ids));
      for (const device of all)
        await expect.poll(() => device.ids, { timeout: 15_000 }).toEqual([...mine].sort());
      expect(at.log.job(JOB_ID)!.at).toBe(mine.size);
      for (const device of all) device.stop();
      await at.remove();
    }),
    { seed: 20_261_127, numRuns: 12 },
  );
  await workshop(0);
});
