import { BrokenInstallation, CannotDo, JobFaults } from "../job/faults.ts";
import type { Fault, Warning } from "../job/faults.ts";

/** Exit codes of the command. */
export const EXIT = { done: 0, cannotDo: 1, wrongInput: 2, interrupted: 130 } as const;
/** More faults or warnings than this are counted, not shown; `--json` gives them all. */
const SHOWN = 40;
/** Of one line of a fault or a warning. */
const SHOWN_CHARACTERS = 400;

/** What a command may say to the person or the program that called it. */
export interface Shell {
  json: boolean;
  /** Raised by Ctrl-C after `catchInterrupts`. */
  signal: AbortSignal;
  /**
   * From now on Ctrl-C raises the signal, as there is something to clear away. Before that it ends the process as
   * the system does: at once, whatever is being worked out, and nothing is on the disk yet.
   */
  catchInterrupts(): AbortSignal;
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
  const line = new ProgressLine(!json && process.stderr.isTTY === true);
  const shell: Shell = {
    json,
    signal: abort.signal,
    catchInterrupts: () => {
      // once: who asks twice does not wait
      process.once("SIGINT", interrupt);
      process.once("SIGTERM", interrupt);
      return abort.signal;
    },
    say: (text) => {
      line.clear();
      if (!json) process.stdout.write(printable(text) + "\n");
    },
    progress: (text) => line.show(printable(text)),
    warn: (warnings) => {
      line.clear();
      if (json) return;
      for (const { message, path } of warnings.slice(0, SHOWN))
        process.stderr.write(printable(`Warning: ${message}${path ? ` (${short(path)})` : ""}`) + "\n");
      const more = warnings.length - SHOWN;
      if (more > 0) process.stderr.write(`... and ${more} more warnings (--json shows all)\n`);
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
  const { message, next } =
    error instanceof CannotDo || error instanceof BrokenInstallation ? error : inWords(error);
  if (json) printJson({ done: false, exit: EXIT.cannotDo, message, next });
  else process.stderr.write(printable(`${message}\n  ${next}`) + "\n");
  return EXIT.cannotDo;
}

function faultText(faults: readonly Fault[]): string {
  const shown = faults
    .slice(0, SHOWN)
    .map((f) => [f.path, `  expected ${f.expected}`, `  got ${f.got}`, `  ${f.next}`].map(short).join("\n"));
  const count =
    faults.length === 1 ? "1 fault. Nothing was written." : `${faults.length} faults. Nothing was written.`;
  const more = faults.length - shown.length;
  return [...shown, ...(more > 0 ? [`... and ${more} more (--json shows all)`] : []), count].join("\n");
}

const short = (text: string): string =>
  text.length > SHOWN_CHARACTERS ? `${text.slice(0, SHOWN_CHARACTERS)}...` : text;

const ELSEWHERE = "Choose another place with --out.";

/** What the system refuses most, in words: what it is, and what helps. `WHERE` is the file or folder. */
const REFUSALS: Record<string, [message: string, next: string]> = {
  EACCES: ["No permission to write WHERE.", ELSEWHERE],
  EPERM: ["No permission to write WHERE.", ELSEWHERE],
  EROFS: ["WHERE can only be read, not written to.", ELSEWHERE],
  ENOSPC: ["The disk is full. Nothing was left behind.", "Free some space and run it again."],
  EDQUOT: ["The disk is full. Nothing was left behind.", "Free some space and run it again."],
  EFBIG: ["A file would be larger than this disk takes: WHERE.", ELSEWHERE],
  ENOTDIR: ["WHERE can't be made: a part of its path is a file, not a folder.", ELSEWHERE],
  ENAMETOOLONG: ["WHERE can't be made: the name is too long.", "Choose a shorter name with --out."],
  EEXIST: ["WHERE can't be made: something of that name is already there.", ELSEWHERE],
  EISDIR: ["WHERE is a folder, not a file.", ELSEWHERE],
  ENOENT: ["WHERE can't be made: a folder on the way to it is missing.", ELSEWHERE],
  ENOTEMPTY: ["Something was put into WHERE meanwhile; it stays.", "Look into it, then run it again."],
  EBUSY: ["WHERE is in use by another program.", "Close it there, then run it again."],
  ETXTBSY: ["WHERE is in use by another program.", "Close it there, then run it again."],
  ELOOP: ["WHERE leads round in a circle of links.", ELSEWHERE],
  EIO: ["The disk reports an error at WHERE.", "Check the disk, or choose another place with --out."],
  EMFILE: ["This system lets no more files be open at once.", "Close other programs and run it again."],
  ENFILE: ["This system lets no more files be open at once.", "Close other programs and run it again."],
};

/** What the system refused, in words; anything else is a fault of ours and says so. */
function inWords(error: unknown): { message: string; next: string } {
  const { code, path, syscall } = error as NodeJS.ErrnoException;
  const where = path ?? "the folder";
  const [message, next] = REFUSALS[code ?? ""] ?? [];
  if (message !== undefined && next !== undefined) return { message: message.replace("WHERE", where), next };
  if (code !== undefined && syscall !== undefined)
    return { message: `The system refused ${where} (${syscall}: ${code}).`, next: ELSEWHERE };
  return {
    message: `Velarium failed: ${error instanceof Error ? error.message : String(error)}`,
    next: "This is a mistake in the program, not in your job. VELARIUM_DEBUG=1 shows where.",
  };
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
