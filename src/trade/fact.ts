/** A number that the trade, a standard or physics gives us, with where it comes from. */
export interface Fact {
  /** What the number says, in words for a page. */
  what: string;
  value: number;
  /** Unit; "" for a bare number, "share" for a part of 1. */
  unit: string;
  /** What is usual, least and most. */
  range?: readonly [number, number];
  /** The standard, publication or working behind it, or one of the two admissions below. */
  source: string;
  /** Key of the job whose default this is; `[]` stands for every entry of a list. */
  key?: string;
}

/** Nobody published it that we know of: a shop rule, to be changed at will. */
export const COMMON_PRACTICE = "common practice, no source";
/** Known, and not looked up again: check before relying on it. */
export const FROM_MEMORY = "from memory";
