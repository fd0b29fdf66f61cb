import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { buildCatalog } from "../../scripts/catalog/build.ts";
import { adler32 } from "../../src/sky/envelope.ts";

const checkedIn = fileURLToPath(new URL("../../catalog", import.meta.url));
const sha256 = (path: string) => createHash("sha256").update(readFileSync(path)).digest("hex");

interface Provenance {
  files: { file: string; sha256: string; bytes: number; holds: string; columns: string; licence?: string; sources: string[] }[];
  sources: { id: string; title: string; licence: string; date: string; url: string; reads: { sha256: string }[] }[];
}

describe("catalogue build", () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "velarium-catalog-"));
    buildCatalog(folder);
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  test("a rebuild gives the same files, byte for byte", () => {
    expect(readdirSync(folder).sort()).toEqual(readdirSync(checkedIn).sort());
    for (const name of readdirSync(folder)) {
      expect(sha256(join(folder, name)), name).toBe(sha256(join(checkedIn, name)));
    }
  });

  test("what is made from a share-alike source is passed on under its licence, and says so", () => {
    const text = readFileSync(join(checkedIn, "provenance.json"), "utf8");
    const { files, sources } = JSON.parse(text) as Provenance;
    const shareAlike = new Set(sources.filter(({ licence }) => /ODbL/.test(licence)).map(({ id }) => id));
    const made = files.filter((file) => file.sources.some((id) => shareAlike.has(id)));
    expect(made.map(({ file }) => file)).toEqual(["places.bin"]);
    for (const { licence } of made) expect(licence).toContain("ODbL-1.0");
    const notice = readFileSync(join(checkedIn, "ATTRIBUTION.md"), "utf8");
    expect(notice).toContain("https://opendatacommons.org/licenses/odbl/1-0/");
    expect(notice).toContain("© OpenStreetMap contributors");
  });

  test("provenance lists every data file with its true checksum, and every source with its licence", () => {
    const text = readFileSync(join(checkedIn, "provenance.json"), "utf8");
    const provenance = JSON.parse(text) as Provenance;
    const data = readdirSync(checkedIn).filter((name) => !/^(provenance\.json|.*\.md)$/.test(name));
    expect(provenance.files.map((f) => f.file).sort()).toEqual(data.sort());
    const known = new Set(provenance.sources.map((s) => s.id));
    for (const entry of provenance.files) {
      expect(entry.sha256, entry.file).toBe(sha256(join(checkedIn, entry.file)));
      expect(entry.bytes).toBe(readFileSync(join(checkedIn, entry.file)).length);
      expect(entry.holds && entry.columns).toBeTruthy();
      expect(entry.sources.length).toBeGreaterThan(0);
      for (const source of entry.sources) expect(known.has(source), source).toBe(true);
    }
    for (const { id, licence, date, url, reads } of provenance.sources) {
      expect(licence, id).not.toBe("");
      expect(date).toMatch(/^\d{4}-\d\d-\d\d$/);
      expect(url).toMatch(/^https:/);
      for (const read of reads) expect(read.sha256).toMatch(/^[0-9a-f]{64}$/);
      const attribution = readFileSync(join(checkedIn, "ATTRIBUTION.md"), "utf8");
      expect(attribution).toContain(licence);
    }
  });

  test("the licence notices that must go along do", () => {
    const attribution = readFileSync(join(checkedIn, "ATTRIBUTION.md"), "utf8");
    expect(attribution).toContain("Copyright (c) 2015, Olaf Frohn");
    expect(attribution).toContain("THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS");
    expect(attribution).toContain("GeoNames (https://www.geonames.org), licensed under CC BY 4.0");
    expect(attribution).toContain("OpenStreetMap");
  });

  test("Adler-32 of RFC 1950: the empty text, and the worked example of Wikipedia's article", () => {
    expect(adler32(new Uint8Array(0))).toBe(1);
    expect(adler32(new TextEncoder().encode("Wikipedia"))).toBe(0x11e60398);
    // Long runs of 255 overflow a careless sum; value from Python's zlib.adler32(b"\xff" * 100000).
    expect(adler32(new Uint8Array(100_000).fill(255))).toBe(0x149a302c);
  });
});
