import { JobFaults } from "./faults.ts";
import type { Fault } from "./faults.ts";

/** A job file larger than this is refused unread; 2,000 no-go zones of 100 corners take about 5 MB, 3,000 issued tiles with 100,000 strands about 6 MB. */
export const MAX_JOB_BYTES = 8 * 1024 * 1024;
/** Deeper nesting than this is no job. */
const MAX_DEPTH = 64;

/**
 * Strict JSON (RFC 8259) with faults a person can find: line, column and the text there. `JSON.parse`
 * alone says neither in every engine, takes the last of two equal keys silently, and lets `__proto__` in.
 * Throws JobFaults.
 */
export function readJson(input: string | Uint8Array): unknown {
  const text = decode(input);
  const faults = new Scanner(text).run();
  if (faults.length > 0) throw new JobFaults(faults);
  return JSON.parse(text) as unknown;
}

function decode(input: string | Uint8Array): string {
  const size = typeof input === "string" ? input.length : input.byteLength;
  if (size > MAX_JOB_BYTES) throw tooLarge(size);
  if (typeof input === "string") return input.startsWith("\uFEFF") ? input.slice(1) : input;
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(input);
  } catch {
    throw fault("(file)", "text in UTF-8", "bytes that are not", "Save the file again as UTF-8 text.");
  }
}

/** The refusal of a file of `size` bytes; a shell may throw it without reading the file. */
export function tooLarge(
  size: number,
  next = "Leave out what the plan does not need: a ceiling of 3,000 tiles with 500 zones is under 1 MB, all of them issued about 6 MB.",
): JobFaults {
  const mb = (bytes: number): string => (bytes / 1024 / 1024).toFixed(1);
  return fault("(file)", `at most ${mb(MAX_JOB_BYTES)} MB`, `${mb(size)} MB`, next);
}

function fault(path: string, expected: string, got: string, next: string): JobFaults {
  return new JobFaults([{ path, expected, got, next }]);
}

/** Joins a key to a document path: `a.b`, `a[3]`, `a["odd key"]`. */
export function joinPath(path: string, key: string | number): string {
  if (typeof key === "number") return `${path}[${key}]`;
  if (!/^[\p{L}_$][\p{L}\p{N}_$-]*$/u.test(key)) return `${path}[${JSON.stringify(key)}]`;
  return path === "" ? key : `${path}.${key}`;
}

// eslint-disable-next-line no-control-regex -- RFC 8259 forbids exactly these inside a string
const PLAIN = /[^"\\\u0000-\u001f]*/y;
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y;

function pieceLength(pattern: RegExp, text: string, from: number): number {
  pattern.lastIndex = from;
  return pattern.exec(text)?.[0].length ?? 0;
}

class Stop extends Error {}

/** One pass over the text: stops at the first thing that is not JSON; collects repeated and forbidden keys. */
class Scanner {
  private at = 0;
  private readonly faults: Fault[] = [];
  private readonly text: string;
  constructor(text: string) {
    this.text = text;
  }

  run(): Fault[] {
    try {
      this.value("", 0);
      this.space();
      if (this.at < this.text.length) this.stop("the end of the file");
    } catch (error) {
      if (!(error instanceof Stop)) throw error;
    }
    return this.faults;
  }

  private stop(expected: string): never {
    const before = this.text.slice(0, this.at);
    const line = before.split("\n").length;
    const column = this.at - before.lastIndexOf("\n");
    const rest = this.text.slice(this.at, this.at + 24).split(/[\r\n]/)[0] ?? "";
    const got = this.at >= this.text.length ? "the end of the file" : rest === "" ? "a line break" : rest;
    const hint = /^[+-]?(NaN|Infinity)/i.test(rest)
      ? "Write a number, or null where nothing was measured."
      : /^['\u2018\u201C\u201D]/.test(rest)
        ? 'Use straight double quotes: "like this".'
        : rest.startsWith("/")
          ? "JSON has no comments: remove it."
          : "Correct the file there.";
    this.faults.push({ path: `line ${line}, column ${column}`, expected, got, next: hint });
    throw new Stop();
  }

  private space(): void {
    while (" \t\r\n".includes(this.text[this.at] ?? "x")) this.at++;
  }

  private value(path: string, depth: number): void {
    this.space();
    const c = this.text[this.at];
    if (depth > MAX_DEPTH) this.stop(`at most ${MAX_DEPTH} levels of brackets`);
    if (c === "{") this.object(path, depth);
    else if (c === "[") this.array(path, depth);
    else if (c === '"') this.string();
    else
      this.match(
        /-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?|true|false|null/y,
        'a number, "text", true, false, null, [ or {',
      );
  }

  private match(pattern: RegExp, expected: string): string {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text)?.[0];
    if (found === undefined) this.stop(expected);
    this.at += found.length;
    return found;
  }

  private string(): string {
    // piece by piece: one pattern for the whole text would exhaust the stack on a long one
    let end = this.at + 1;
    for (;;) {
      end += pieceLength(PLAIN, this.text, end);
      if (this.text[end] === '"') break;
      const escape = pieceLength(ESCAPE, this.text, end);
      if (escape === 0) this.stop('text in "double quotes" on one line');
      end += escape;
    }
    const token = this.text.slice(this.at, end + 1);
    this.at = end + 1;
    return JSON.parse(token) as string;
  }

  private array(path: string, depth: number): void {
    this.at++;
    this.space();
    if (this.take("]")) return;
    for (let i = 0; ; i++) {
      this.value(`${path}[${i}]`, depth + 1);
      this.space();
      if (this.take("]")) return;
      if (!this.take(",")) this.stop("a comma or ]");
    }
  }

  private object(path: string, depth: number): void {
    const keys = new Set<string>();
    this.at++;
    this.space();
    if (this.take("}")) return;
    for (;;) {
      this.space();
      const key = this.text[this.at] === '"' ? this.string() : this.stop('a key in "double quotes"');
      const inner = joinPath(path, key);
      if (keys.has(key)) this.key(inner, "each key once", "the same key twice", "Keep one of the two.");
      if (key === "__proto__") this.key(inner, "another name for this key", key, "Rename or delete it.");
      keys.add(key);
      this.space();
      if (!this.take(":")) this.stop("a colon");
      this.value(inner, depth + 1);
      this.space();
      if (this.take("}")) return;
      if (!this.take(",")) this.stop("a comma or }");
    }
  }

  private key(path: string, expected: string, got: string, next: string): void {
    this.faults.push({ path, expected, got, next });
  }

  private take(c: string): boolean {
    if (this.text[this.at] !== c) return false;
    this.at++;
    return true;
  }
}
