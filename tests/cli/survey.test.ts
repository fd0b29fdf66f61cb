import { existsSync, readFileSync } from "node:fs";
import { afterAll, describe, expect, test } from "vitest";
import type { JobInput } from "../../src/job/schema.ts";
import { scratch, velarium } from "./run.ts";

const folder = scratch();
afterAll(() => folder.remove());
const drawing = (name: string): string => `tests/authorities/drawings/${name}.dxf`;

describe("velarium survey", () => {
  test("makes a job that can be checked from a drawing, and says what is still to say", async () => {
    const out = folder.path("reading-room.velarium.json");
    const made = await velarium(["survey", drawing("standard-layers"), "--out", out]);
    expect(made.code).toBe(0);
    expect(made.out).toContain("module 600 × 600 mm");
    expect(made.out).toContain("Still to say: the night");
    const job = JSON.parse(readFileSync(out, "utf8")) as JobInput;
    expect(job.ceiling.noGo).toHaveLength(9);
    expect((await velarium(["check", out])).code).toBe(0);
    const again = await velarium(["survey", drawing("standard-layers"), "--out", out]);
    expect(again.code).toBe(1);
    expect(again.err).toContain("already there");
  });

  test("asks for a unit and a room and writes nothing", async () => {
    const out = folder.path("asked.json");
    const unit = await velarium(["survey", drawing("wrong-unit"), "--out", out]);
    expect(unit.code).toBe(2);
    expect(unit.err).toContain("mm: 5.00 × 3.75 m; cm: 50.00 × 37.50 m (unlikely)");
    const room = await velarium(["survey", drawing("three-rooms"), "--units", "m", "--out", out]);
    expect(room.code).toBe(2);
    expect(room.err).toContain("3: Study");
    expect(existsSync(out)).toBe(false);
  });

  test("starts with what the firm keeps, and with nothing of the job it was kept from", async () => {
    const firm = folder.path("ours.firm.json");
    expect((await velarium(["firm", "demo/harbour-dining-room.velarium.json", "--out", firm])).code).toBe(0);
    const out = folder.path("second-client.json");
    expect((await velarium(["survey", drawing("standard-layers"), "--firm", firm, "--out", out])).code).toBe(
      0,
    );
    const text = readFileSync(out, "utf8");
    const demo = JSON.parse(readFileSync("demo/harbour-dining-room.velarium.json", "utf8")) as JobInput;
    expect(JSON.parse(text)).toMatchObject({
      firm: demo.firm,
      units: demo.units,
      strands: { stock: demo.strands.stock },
    });
    for (const { title } of demo.sky.options) expect(text).not.toContain(title);
    expect(text).not.toContain(demo.client);
  });

  test("takes layers as told, and refuses names that the drawing has not", async () => {
    const out = folder.path("told.json");
    const wrong = await velarium([
      "survey",
      drawing("mirrored"),
      "--take",
      "E-SPEAKERS=speaker",
      "--out",
      out,
    ]);
    expect(wrong.code).toBe(2);
    expect(wrong.err).toContain("RCP$0$E-SPKR");
    const told = await velarium([
      "survey",
      drawing("mirrored"),
      "--take",
      "RCP$0$E-SPKR=camera",
      "--take",
      "block SPEAKER=camera",
      "--out",
      out,
      "--json",
    ]);
    expect(told.code).toBe(0);
    const { ceiling } = JSON.parse(told.out) as { ceiling: { noGo: { kind: string }[] } };
    expect(ceiling.noGo.map(({ kind }) => kind)).toEqual(["camera", "other"]);
  });
});
