import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { entry } from "./entries.ts";
import { JOB_TEXT, JOB_ID, TestWorkshop } from "./workshop.ts";

const at = new TestWorkshop();
let phone: { cookie: string };
beforeAll(async () => {
  await at.open();
  phone = await at.joined();
  await at.shareJob();
});
afterAll(() => at.remove());

const ENTRIES = `/share/jobs/${JOB_ID}/entries`;
const news = (from: number, log: string, others: number, design = 1): string =>
  `/share/jobs/${JOB_ID}/news?${new URLSearchParams({ log, from: `${from}`, design: `${design}`, others: `${others}` })}`;
const post = (body: unknown, headers: object) =>
  at.ask(ENTRIES, { method: "POST", body: JSON.stringify(body), headers });

describe("who has not scanned a code gets nothing", () => {
  const PATHS = [
    "/",
    "/index.html",
    "/share",
    `/share/jobs/${JOB_ID}/design`,
    news(0, "", 0),
    "/assets/x.js",
  ];

  test("no page, no job, no record; a person is told what to do", async () => {
    for (const path of PATHS) {
      const { status, text } = await at.ask(path);
      expect(status, path).toBe(403);
      expect(text, path).toContain("Scan the code on the computer that shares it.");
      expect(text, path).not.toContain("the studio");
    }
    const page = await at.ask("/", { headers: { accept: "text/html" } });
    expect(page.status).toBe(403);
    expect(page.text).toContain("<h1>A shared job</h1>");
    const put = await at.ask(ENTRIES, { method: "POST", body: JSON.stringify({ entries: [entry(1)] }) });
    expect(put.status).toBe(403);
  });

  test("a made-up secret is none; nor is a longer or shorter one", async () => {
    for (const token of [
      "A".repeat(22),
      phone.cookie.split("=")[1]!.slice(1),
      `${phone.cookie.split("=")[1]}A`,
    ])
      expect((await at.ask("/share", { headers: { cookie: `velarium-device=${token}` } })).status).toBe(403);
    expect((await at.ask("/share", { headers: phone })).status).toBe(200);
  });

  test("a wrong code is refused with words, a used one too, and the tries have an end", async () => {
    const code = at.code();
    const join = (shown: unknown) =>
      at.ask("/share/join", { method: "POST", body: JSON.stringify({ code: shown }) });
    expect(code).toMatch(/^[\w-]{22}$/);
    expect((await join(code)).status).toBe(200);
    const again = await join(code);
    expect(again.status).toBe(403);
    expect(again.body["words"]).toContain("each lets one device in");
    expect((await join(null)).status).toBe(403);
    let answer = await join("A".repeat(22));
    for (let tries = 0; answer.status === 403 && tries < 20; tries++) answer = await join("A".repeat(22));
    expect(answer.status).toBe(429);
    expect(answer.body["words"]).toMatch(/Too many codes were tried/);
    expect(Number(answer.headers["retry-after"])).toBeGreaterThan(0);
    // even the right one has to wait now
    expect((await join(at.code())).status).toBe(429);
  });

  test("the secret of a device is for no script and no other site, and not kept where a code is", async () => {
    const other = await new TestWorkshop().open();
    const code = other.code();
    const { headers } = await other.ask("/share/join", { method: "POST", body: JSON.stringify({ code }) });
    expect(String(headers["set-cookie"])).toMatch(/; Path=\/; Max-Age=\d+; HttpOnly; SameSite=Strict$/);
    expect(other.said).toEqual(["joined"]);
    const secret = /=([\w-]+)/.exec(String(headers["set-cookie"]))![1]!;
    expect(other.log.deviceSums().join()).not.toContain(secret);
    await other.remove();
  });

  test("a name that somebody made lead here, and a page of another origin, are refused", async () => {
    expect((await at.ask("/share", { headers: { ...phone, host: "foreign.test" } })).status).toBe(421);
    const { port } = new URL(at.url);
    for (const origin of [
      "http://foreign.test",
      "null",
      "http://192.168.1.20",
      `https://192.168.1.20:${port}`,
    ]) {
      const refused = await at.ask("/share", { headers: { ...phone, origin } });
      expect(refused.status, origin).toBe(403);
      expect(refused.body["words"]).toContain("own pages");
    }
    const own = { ...phone, origin: `http://192.168.1.20:${port}` };
    expect((await at.ask("/share", { headers: own })).status).toBe(200);
    // what a page elsewhere can make the desk's own browser send
    const foreign = { origin: "http://foreign.test" };
    expect((await at.desk("/share", { headers: foreign })).status).toBe(403);
    expect((await at.desk("/share", { headers: { "sec-fetch-site": "cross-site" } })).status).toBe(403);
    const form = { "content-type": "text/plain" };
    expect((await at.desk(ENTRIES, { method: "POST", body: "{}", headers: form })).status).toBe(415);
  });
});

describe("devices that have scanned a code", () => {
  test("read the design, which only the desk changes", async () => {
    const design = await at.ask(`/share/jobs/${JOB_ID}/design`, { headers: phone });
    expect(design.text).toBe(JOB_TEXT);
    const put = { method: "PUT", body: JOB_TEXT, headers: phone };
    expect((await at.ask(`/share/jobs/${JOB_ID}/design`, put)).status).toBe(403);
    const list = await at.ask("/share", { headers: phone });
    expect(list.body["jobs"]).toMatchObject([{ id: JOB_ID, title: "Small room", design: 1 }]);
    expect(list.body["desk"]).toBe(false);
  });

  test("hear within a second what another one did, each entry once, in one order", async () => {
    const first = await at.ask(news(0, "", 0), { headers: phone });
    const log = first.body["log"] as string;
    const waiting = at.ask(news(0, log, 0), { headers: phone });
    await new Promise((done) => setTimeout(done, 50));
    expect(
      (await at.desk(ENTRIES, { method: "POST", body: JSON.stringify({ entries: [entry(1), entry(2)] }) }))
        .status,
    ).toBe(200);
    const heard = await waiting;
    expect(heard.body).toMatchObject({ from: 2, of: 2, entries: [entry(1), entry(2)] });
    expect((await post({ entries: [entry(2), entry(3), entry(3)] }, phone)).body["at"]).toBe(3);
    expect((await at.ask(news(2, log, 0), { headers: phone })).body["entries"]).toEqual([entry(3)]);
    // asked with what another log had: from its beginning
    expect((await at.ask(news(2, "another", 0), { headers: phone })).body).toMatchObject({
      start: 0,
      from: 3,
    });
  });

  test("know how many others are there, and when one goes", async () => {
    const other = await new TestWorkshop().open();
    await other.shareJob();
    const [one, two] = [await other.joined(), await other.joined()];
    const { log } = (await other.ask(news(0, "", 0), { headers: one })).body as { log: string };
    const alone = other.ask(news(0, log, 0), { headers: one });
    await new Promise((done) => setTimeout(done, 50));
    const second = await other.ask(news(0, "", 0), { headers: two });
    expect(second.body["others"]).toBe(1);
    expect((await alone).body["others"]).toBe(1);
    const gone = await other.ask(news(0, log, 1), { headers: one });
    expect(gone.body["others"]).toBe(0);
    await other.remove();
  });

  test("too much at once, half a body, no list, a job that is not shared: words, and nothing is taken", async () => {
    const before = at.log.job(JOB_ID)!.at;
    const large = await post({ entries: [{ ...entry(9), note: "x".repeat(3_000_000) }] }, phone);
    expect(large.status).toBe(413);
    expect(large.body["words"]).toContain("2048 kB");
    const half = await at.ask(ENTRIES, { method: "POST", body: '{"entries":[{"id":', headers: phone });
    expect([half.status, half.body["words"]]).toEqual([400, "This is not whole: it is no JSON."]);
    expect((await post({ entries: 7 }, phone)).status).toBe(422);
    expect((await post({ entries: [entry(9), { id: "9" }] }, phone)).status).toBe(422);
    const elsewhere = { method: "POST", body: JSON.stringify({ entries: [entry(9)] }), headers: phone };
    expect((await at.ask("/share/jobs/fedcba9876543210/entries", elsewhere)).status).toBe(404);
    expect((await at.desk(`/share/jobs/${JOB_ID}/design`, { method: "PUT", body: "{}" })).status).toBe(422);
    expect(at.log.job(JOB_ID)!.at).toBe(before);
  });

  test("too many questions: one has to wait, the others go on", async () => {
    const other = await at.log.deviceSums().length;
    expect(other).toBeGreaterThan(1);
    let answer = await at.ask("/share", { headers: phone });
    for (let asked = 0; answer.status === 200 && asked < 2000; asked++)
      answer = await at.ask("/share", { headers: phone });
    expect(answer.status).toBe(429);
    expect(answer.body["words"]).toMatch(/may ask again in \d+ s/);
    expect((await at.desk("/share")).status).toBe(200);
  });
});
