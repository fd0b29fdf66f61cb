/**
 * Reads a typed length. Everything is kept as a fraction of whole numbers until the last division, so 24 in
 * is 609.6 mm to the last bit and not 609.5999999999999.
 */

type Unit = "mm" | "cm" | "m" | "in" | "ft";

interface Fraction {
  above: number;
  below: number;
}

export type QuantityResult = { mm: number } | { next: string };

/** One unit in millimetres; 1 in = 127/5 mm by the international agreement of 1959. */
const UNIT_MM: Record<Unit, Fraction> = {
  mm: { above: 1, below: 1 },
  cm: { above: 10, below: 1 },
  m: { above: 1000, below: 1 },
  in: { above: 127, below: 5 },
  ft: { above: 12 * 127, below: 5 },
};

const UNIT_WORDS: [RegExp, Unit][] = [
  [/^(?:mm|millimet(?:er|re)s?)\.?(?![a-z])/, "mm"],
  [/^(?:cm|centimet(?:er|re)s?)\.?(?![a-z])/, "cm"],
  [/^(?:m|met(?:er|re)s?)\.?(?![a-z])/, "m"],
  [/^(?:"|(?:in|inch|inches)\.?(?![a-z]))/, "in"],
  [/^(?:'|(?:ft|foot|feet)\.?(?![a-z]))/, "ft"],
];

const VULGAR: Record<string, string> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
  "⅓": "1/3",
  "⅔": "2/3",
};

const EXAMPLES = `Type it like 2540 mm, 2.54 m, 8' 4" or 99 1/2 in.`;
const MAX_TEXT = 80;
/** Digits taken in one number: more than any room needs, few enough for exact arithmetic. */
const MAX_DIGITS = 7;

/** The length in mm, or what to do about it. A number without a unit is read in `bare`. */
export function parseQuantity(text: string, bare: Unit): QuantityResult {
  if (text.length > MAX_TEXT) return { next: EXAMPLES };
  let rest = plain(text);
  const sign = rest.startsWith("-") ? -1 : 1;
  if (sign < 0) rest = rest.slice(1).trimStart();
  if (!rest) return { next: EXAMPLES };

  const terms: { value: Fraction; unit: Unit; whole: boolean }[] = [];
  while (rest) {
    const number = takeNumber(rest);
    if ("next" in number) return number;
    const unit = takeUnit(number.rest);
    const last = terms[terms.length - 1];
    // 8' 3 means 8 ft 3 in; any other number behind a unit needs its own.
    const meant = unit?.unit ?? (last?.unit === "ft" ? "in" : last ? null : bare);
    if (meant === null) return { next: `Say the unit of every number. ${EXAMPLES}` };
    if (!unit && number.rest)
      return { next: `'${number.rest.slice(0, 12)}' is no unit known here. ${EXAMPLES}` };
    if (last && !follows(last.unit, meant))
      return { next: `Give feet before inches, in one system. ${EXAMPLES}` };
    if (last && !last.whole) return { next: `Only the last number may have a fraction. ${EXAMPLES}` };
    terms.push({ value: number.value, unit: meant, whole: number.value.below === 1 });
    rest = unit ? unit.rest : "";
  }
  const inches = terms[1];
  if (inches?.unit === "in" && inches.value.above >= 12 * inches.value.below)
    return { next: "After feet, inches stay below 12." };
  const total = terms.map(({ value, unit }) => times(value, UNIT_MM[unit])).reduce(plus);
  return { mm: (sign * total.above) / total.below + 0 };
}

/** Typographic signs to plain ones. */
function plain(text: string): string {
  return text
    .toLowerCase()
    .replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (sign) => ` ${VULGAR[sign]}`)
    .replace(/[″“”„‟ʺ]|''|′′|’’/g, '"')
    .replace(/[′’‘´`ʹ]/g, "'")
    .replace(/[⁄∕]/g, "/")
    .replace(/[−–—‐‑]/g, "-")
    .replace(/\s+/g, " ")
    .trim();
}

/** Feet then inches; metres then centimetres then millimetres. */
function follows(before: Unit, after: Unit): boolean {
  if (before === "ft") return after === "in";
  const metric: Unit[] = ["m", "cm", "mm"];
  return metric.includes(before) && metric.indexOf(after) > metric.indexOf(before);
}

function takeUnit(text: string): { unit: Unit; rest: string } | null {
  for (const [word, unit] of UNIT_WORDS) {
    const found = word.exec(text);
    if (found) return { unit, rest: text.slice(found[0].length).replace(/^ ?-? ?/, "") };
  }
  return null;
}

/** `3`, `3.5`, `3,5`, `1 200`, `3 1/2`, `3-1/2`, `1/2`, whichever stands first. */
function takeNumber(text: string): { value: Fraction; rest: string } | { next: string } {
  const mixed = /^(?:(\d+)[ -])? ?(\d+) ?\/ ?(\d+) ?/.exec(text);
  if (mixed) {
    const [all, whole = "0", above, below] = mixed as unknown as [string, string | undefined, string, string];
    if ([whole, above, below].some((digits) => digits.length > MAX_DIGITS))
      return { next: "Too many digits." };
    if (Number(below) === 0) return { next: "A fraction can't have 0 below the line." };
    const value = { above: Number(whole) * Number(below) + Number(above), below: Number(below) };
    return { value, rest: text.slice(all.length) };
  }
  const found = /^(\d{1,3}(?: \d{3})+(?:[.,]\d+)?|[\d.,]+) ?/.exec(text);
  if (!found) return { next: EXAMPLES };
  const value = decimalFraction(found[1]!.replaceAll(" ", ""));
  return "next" in value ? value : { value, rest: text.slice(found[0].length) };
}

function decimalFraction(text: string): Fraction | { next: string } {
  const grouped = /^[1-9]\d{0,2}(?:(?:,\d{3})+\.\d+|(?:\.\d{3})+,\d+)$/.test(text);
  const ambiguous = /^[1-9]\d{0,2},\d{3}$/.test(text);
  if (ambiguous)
    return {
      next: `'${text}' can be read two ways: type ${text.replace(",", "")} or ${text.replace(",", ".")}.`,
    };
  const last = Math.max(text.lastIndexOf("."), text.lastIndexOf(","));
  const whole = (last < 0 ? text : text.slice(0, last)).replace(grouped ? /[.,]/g : /^$/, "");
  const part = last < 0 ? "" : text.slice(last + 1);
  if (!/^\d*$/.test(whole) || !/^\d*$/.test(part) || !(whole + part)) return { next: EXAMPLES };
  if (whole.length > MAX_DIGITS || part.length > MAX_DIGITS) return { next: "Too many digits." };
  const trimmed = part.replace(/0+$/, "");
  return { above: Number(whole + trimmed), below: 10 ** trimmed.length };
}

const times = (p: Fraction, q: Fraction): Fraction => ({
  above: p.above * q.above,
  below: p.below * q.below,
});
const plus = (p: Fraction, q: Fraction): Fraction => ({
  above: p.above * q.below + q.above * p.below,
  below: p.below * q.below,
});
