import { describe, expect, test } from "vitest";
import { noticesText, shippedPackages } from "../../scripts/app/notices.ts";

describe("notices", () => {
  const text = noticesText();

  test("name every library that is shipped, with its licence", () => {
    const packages = shippedPackages();
    expect(packages.length).toBeGreaterThan(30);
    for (const { name, locked } of packages) expect(text).toContain(`${name} ${locked.version}`);
    // every package says under what licence it is
    expect(text).not.toContain("Licence: not stated");
  });

  test("hold the licence of every typeface, our own licence, and where the sky comes from", () => {
    const noticeOf = (name: string): string =>
      text.split(/\n-{78}\n/).find((part) => part.trim().startsWith(`${name} `))!;
    const typefaces = shippedPackages().filter(({ name }) => /^@fontsource|fonts/.test(name));
    expect(typefaces.length).toBe(5);
    for (const { name } of typefaces)
      expect(noticeOf(name)).toMatch(/SIL OPEN FONT LICENSE Version 1\.1|Bitstream Vera Fonts Copyright/i);
    expect(noticeOf("pdfjs-dist")).toMatch(/Apache License\s+Version 2\.0/);
    expect(text).toContain("the makers of Velarium");
    expect(text).toContain("Licence: LGPL-3 (package, https://www.gnu.org/licenses/lgpl-3.0.html)");
    expect(text).toContain("GeoNames");
    // zones of places follow from OpenStreetMap's borders, which share alike; all else in that file does not
    expect(text).toContain("https://opendatacommons.org/licenses/odbl/1-0/");
    expect(text).toContain("OpenStreetMap contributors");
  });
});
