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

  test("hold the Open Font License of both typefaces, our own licence, and where the sky comes from", () => {
    expect(text.match(/SIL OPEN FONT LICENSE Version 1\.1/gi)!.length).toBeGreaterThanOrEqual(2);
    expect(text).toContain("the makers of Velarium");
    expect(text).toContain("Licence: LGPL-3 (package)");
    expect(text).toContain("GeoNames");
    // zones of places follow from OpenStreetMap's borders, which share alike; all else in that file does not
    expect(text).toContain("https://opendatacommons.org/licenses/odbl/1-0/");
    expect(text).toContain("OpenStreetMap contributors");
  });
});
