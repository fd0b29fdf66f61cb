import { describe, expect, test } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { newJob } from "../../src/app/state/newJob.ts";
import { firmOf, writeFirm } from "../../src/job/firm.ts";
import { LONGEST_LOGO, readLogo } from "../../src/job/logo.ts";
import { readFirm } from "../../src/job/firmFile.ts";
import { readJob } from "../../src/job/read.ts";
import { demoJob } from "../app/demoJob.ts";

/** The head of a JPEG of 3 x 2 dots: start of image, start of frame (ITU-T T.81, annex B), nothing else. */
const LOGO = `data:image/jpeg;base64,${Buffer.from("ffd8ffc0000b080002000301011100ffd9", "hex").toString("base64")}`;

describe("a firm's file", () => {
  test("may hold as little as its format; every fault in it is told with its place", () => {
    expect(readFirm('{"format": "velarium.firm", "version": 1}')).toMatchObject({ name: "", units: "mm" });
    const wrong =
      '{"format": "velarium.firm", "version": 1, "units": "yd", "takeoff": {"prices": {"hour": -1}}}';
    try {
      readFirm(wrong);
      expect.unreachable();
    } catch (error) {
      expect((error as JobFaults).faults.map(({ path }) => path)).toEqual(["units", "takeoff.prices.hour"]);
    }
  });

  test("one of version 1 opens: its phrases are codes", () => {
    const old = `{"format": "velarium.firm", "version": 1, "labels": {"sheet": "plain A4 to cut, 3 x 8"},
      "takeoff": {"fabric": {"pile": "across the plan"}, "prices": {"validity": "14 days"}}}`;
    expect(readFirm(old)).toMatchObject({
      version: 2,
      labels: { sheet: "A4-cut" },
      takeoff: { fabric: { pile: "across" }, rates: { source: "" }, prices: { validity: 14 } },
    });
  });

  test("a logo is a JPEG with a size, and not endless", () => {
    expect(readLogo(LOGO)).toMatchObject({ widthPx: 3, heightPx: 2 });
    const png = "data:image/png;base64,iVBORw0KGgo=";
    for (const logo of [png, LOGO.slice(0, 30), "hello", LOGO + "A".repeat(LONGEST_LOGO)])
      expect(() => readFirm(JSON.stringify({ format: "velarium.firm", version: 2, logo }))).toThrow(
        JobFaults,
      );
  });

  test("a job is no firm, and is told so", () => {
    expect(() => readFirm('{"format": "velarium.job", "version": 1}')).toThrow(/velarium\.firm/);
    expect(() => readFirm("null")).toThrow(JobFaults);
    expect(() => readFirm("{")).toThrow(JobFaults);
  });

  test("a second client's job carries the firm and not one word of the first client", () => {
    const first = demoJob();
    const mark = "Wintergreen";
    const said = {
      ...first,
      firm: "Starling & Daughters",
      firmAddress: "Mill Lane 2, Leeds",
      firmLogo: LOGO,
      firmTaxNumber: "GB 000 0000 00",
      client: mark,
      title: mark,
      room: mark,
      sheets: {
        ...first.sheets,
        listed: { few: true, tiles: ["C4"] },
        titleBlock: { number: mark, issuedOn: mark, drawnBy: mark, approvedBy: mark },
      },
      takeoff: {
        ...first.takeoff,
        fabric: { ...first.takeoff.fabric, name: mark },
        prices: {
          ...first.takeoff.prices,
          currency: "GBP",
          hour: 44,
          quoteNumber: mark,
          quoteDate: mark,
          extras: [{ what: mark, price: 1 }],
          options: [{ what: mark, price: 1 }],
        },
      },
    };
    said.sky = { ...said.sky, options: said.sky.options.map((night) => ({ ...night, title: mark })) };
    const outlineMm: [number, number][] = [
      [0, 0],
      [4000, 0],
      [4000, 3000],
      [0, 3000],
    ];
    const firm = readFirm(writeFirm(firmOf(said)));
    const { job } = readJob(
      JSON.stringify(newJob("Second room", { outlineMm, grid: { moduleMm: [600, 600] } }, firm)),
    );
    const text = JSON.stringify(job);
    expect(text).not.toContain(mark);
    expect(text).not.toContain("C4");
    expect(job).toMatchObject({
      firm: "Starling & Daughters",
      firmLogo: LOGO,
      firmAddress: "Mill Lane 2, Leeds",
      firmTaxNumber: "GB 000 0000 00",
      client: "",
    });
    expect(job.takeoff.prices).toMatchObject({ currency: "GBP", hour: 44 });
    expect(job.sheets.listed.few).toBe(true);
  });
});
