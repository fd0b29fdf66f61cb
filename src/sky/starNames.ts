import { HD_BASE } from "./starFile.ts";
import type { Catalog, StarName } from "./types.ts";

/** The Greek letters as Bayer used them, with their names spelled out in Latin letters. */
const GREEK = new Map(
  (
    "α alpha β beta γ gamma δ delta ε epsilon ζ zeta η eta θ theta ι iota κ kappa λ lambda μ mu " +
    "ν nu ξ xi ο omicron π pi ρ rho σ sigma τ tau υ upsilon φ phi χ chi ψ psi ω omega"
  )
    .split(" ")
    .map((word, i, all): [string, string] => [all[i + 1] ?? "", word])
    .filter((_, i) => i % 2 === 0),
);
const SUPERSCRIPTS = "⁰¹²³⁴⁵⁶⁷⁸⁹";

/** Digits as superscripts: "γ2" becomes "γ²". */
export function superscript(text: string): string {
  return text.replace(/\d/g, (digit) => SUPERSCRIPTS[Number(digit)]!);
}

/** "α Lyr", "61 Cyg" or "" where the star has neither. */
function designation(name: StarName): string {
  const letter = name.bayer || name.flamsteed;
  return letter && name.constellation ? `${letter} ${name.constellation}` : "";
}

const sharedNames = new WeakMap<Catalog["names"], Set<string>>();
/** Proper names that the source gives to several stars, such as the four of Terebellum. */
function shared(names: Catalog["names"]): Set<string> {
  let several = sharedNames.get(names);
  if (!several) {
    const seen = new Set<string>();
    several = new Set();
    for (const { proper } of names.values()) {
      if (seen.has(proper)) several.add(proper);
      seen.add(proper);
    }
    sharedNames.set(names, several);
  }
  return several;
}

/**
 * What to call a star on a sheet: its proper name ("Vega"; "Atik (ο Per)" where several stars bear it), else
 * "γ² Vel", else "61 Cyg", else "HIP 123" or "HD 68243".
 */
export function starLabel(catalog: Catalog, hip: number): string {
  const number = hip >= HD_BASE ? `HD ${hip - HD_BASE}` : `HIP ${hip}`;
  const name = catalog.names.get(hip);
  if (!name) return number;
  const letter = designation(name);
  if (!name.proper) return letter || number;
  return shared(catalog.names).has(name.proper) ? `${name.proper} (${letter || number})` : name.proper;
}

/** Lower case, plain digits for superscripts, no accents, Greek letters spelled out, single spaces. */
function folded(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[α-ω]/g, (letter) => spelledOut.get(letter) ?? letter)
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}
const spelledOut = new Map([...GREEK].map(([name, letter]) => [letter, name]));

/**
 * Number of the star a person means by "Vega", "alpha Lyrae" or "α Lyr", "gamma2 Vel", "61 Cyg", "HIP 91262"
 * or "91262"; undefined when there is none. Of several bearers of a name the brightest.
 */
export function findStar(catalog: Catalog, text: string): number | undefined {
  const wanted = folded(text);
  const number = /^(?:hip )?(\d+)$/.exec(wanted) ?? /^(hd) (\d+)$/.exec(wanted);
  if (number) {
    const hip = number[1] === "hd" ? HD_BASE + Number(number[2]) : Number(number[1]);
    return catalog.stars.hip.includes(hip) ? hip : undefined;
  }
  const match = matcher(catalog, wanted);
  if (!match) return undefined;
  for (const hip of catalog.stars.hip) {
    const name = catalog.names.get(hip);
    if (name && match(name)) return hip;
  }
  return undefined;
}

function matcher(catalog: Catalog, wanted: string): ((name: StarName) => boolean) | undefined {
  if (wanted === "") return undefined;
  const space = wanted.indexOf(" ");
  const letter = wanted.slice(0, space).replace(/(\d+)$/, (digits) => ` ${digits}`);
  const abbreviation = space > 0 ? constellationOf(catalog, wanted.slice(space + 1)) : undefined;
  const isLetter = (bayer: string) => {
    const spaced = folded(bayer).replace(/(\d+)$/, " $1");
    return bayer !== "" && (spaced === letter || spaced.split(" ")[0] === letter);
  };
  return (name) =>
    (name.proper !== "" && folded(name.proper) === wanted) ||
    (name.constellation === abbreviation &&
      (isLetter(name.bayer) || (name.flamsteed !== "" && name.flamsteed === letter.trim())));
}

/** IAU abbreviation of "Lyr", "Lyra" or "Lyrae". */
function constellationOf(catalog: Catalog, words: string): string | undefined {
  return catalog.figures.find((f) =>
    [f.abbreviation, f.name, f.genitive ?? ""].some((word) => word !== "" && folded(word) === words),
  )?.abbreviation;
}
