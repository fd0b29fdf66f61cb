import { CannotDo, JobFaults } from "../job/faults.ts";
import type { Fault, Warning } from "../job/faults.ts";

/** Exit codes of the command. */
export const EXIT = { done: 0, cannotDo: 1, wrongInput: 2, interrupted: 130 } as const;
/** More faults than this are counted, not shown; `--json` gives them all. */
const SHOWN_FAULTS = 40;

/** What a command may say to the person or the program that called it. */
export interface Shell {
  json: boolean;
  /** Raised by Ctrl-C; long work passes it on and stops. */
  signal: AbortSignal;
  /** A line of the result; silent with --json, where the returned value is the result. */
  say(line: string): void;
  /** What is going on; only on a terminal, overwritten by the next. */
  progress(line: string): void;
  warn(warnings: readonly Warning[]): void;
}

/**
 * Runs one command: calls `work`, prints its result as JSON if asked, turns every error into words and an
 * exit code. Nothing here ever shows a stack, unless VELARIUM_DEBUG is set.
 */
export async function runCommand(json: boolean, work: (shell: Shell) => Promise<object>): Promise<void> {
  const abort = new AbortController();
  const interrupt = (): void => abort.abort();
  process.once("SIGINT", interrupt);
  process.once("SIGTERM", interrupt);
  const line = new ProgressLine(!json && process.stderr.isTTY === true);
  const shell: Shell = {
    json,
    signal: abort.signal,
    say: (text) => {
      line.clear();
      if (!json) process.stdout.write(printable(text) + "\n");
    },
    progress: (text) => line.show(printable(text)),
    warn: (warnings) => {
      line.clear();
      if (json) return;
      for (const w of warnings) {
        process.stderr.write(printable(`Warning: ${w.message}${w.path ? ` (${w.path})` : ""}`) + "\n");
      }
    },
  };
  try {
    const result = await work(shell);
    line.clear();
    if (json) printJson({ done: true, ...result });
    process.exitCode = EXIT.done;
  } catch (error) {
    line.clear();
    process.exitCode = abort.signal.aborted ? EXIT.interrupted : report(error, json);
    if (abort.signal.aborted) process.stderr.write("Interrupted; nothing was written.\n");
  } finally {
    process.off("SIGINT", interrupt);
    process.off("SIGTERM", interrupt);
  }
}

/** Says what went wrong and returns the exit code that fits. */
export function report(error: unknown, json: boolean): number {
  if (process.env["VELARIUM_DEBUG"]) console.error(error);
  if (error instanceof JobFaults) {
    if (json) printJson({ done: false, exit: EXIT.wrongInput, faults: error.faults });
    else process.stderr.write(printable(faultText(error.faults)) + "\n");
    return EXIT.wrongInput;
  }
  const { message, next } = error instanceof CannotDo ? error : inWords(error);
  if (json) printJson({ done: false, exit: EXIT.cannotDo, message, next });
  else process.stderr.write(printable(`${message}\n  ${next}`) + "\n");
  return EXIT.cannotDo;
}

function faultText(faults: readonly Fault[]): string {
  const shown = faults
    .slice(0, SHOWN_FAULTS)
    .map((f) => `${f.path}\n  expected ${f.expected}\n  got ${f.got}\n  ${f.next}`);
  const count =
    faults.length === 1 ? "1 fault. Nothing was written." : `${faults.length} faults. Nothing was written.`;
  const more = faults.length - shown.length;
  return [...shown, ...(more > 0 ? [`... and ${more} more (--json shows all)`] : []), count].join("\n");
}

/** What the system refused, in words; anything else is a fault of ours and says so. */
function inWords(error: unknown): { message: string; next: string } {
  const { code, path } = error as NodeJS.ErrnoException;
  const where = path === undefined ? "the folder" : path;
  switch (code) {
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return { message: `No permission to write ${where}.`, next: "Choose another place with --out." };
    case "ENOSPC":
    case "EDQUOT":
      return {
        message: "The disk is full. Nothing was left behind.",
        next: "Free some space and run it again.",
      };
    case "ENOTDIR":
    case "ENAMETOOLONG":
    case "EEXIST":
    case "ENOENT":
      return { message: `${where} can't be made (${code}).`, next: "Choose another place with --out." };
    default:
      return {
        message: `Velarium stumbled: ${error instanceof Error ? error.message : String(error)}`,
        next: "This is a mistake in the program, not in your job. VELARIUM_DEBUG=1 shows where.",
      };
  }
}

function printJson(value: object): void {
  process.stdout.write(JSON.stringify(value, null, 2) + "\n");
}

/** Text from a job must not steer the terminal. */
export function printable(text: string): string {
  // eslint-disable-next-line no-control-regex -- these are what a terminal obeys
  return text.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g, "\uFFFD");
}

class ProgressLine {
  private shown = false;
  private readonly on: boolean;
  constructor(on: boolean) {
    this.on = on;
  }
  show(text: string): void {
    if (!this.on) return;
    process.stderr.write(`\r\u001b[2K${text}`);
    this.shown = true;
  }
  clear(): void {
    if (this.shown) process.stderr.write("\r\u001b[2K");
    this.shown = false;
  }
}
