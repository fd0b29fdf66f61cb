import type { Standing } from "./sync.ts";

const entries = (count: number): string => (count === 1 ? "1 entry" : `${count} entries`);

/** How this device stands to the others, in a line. */
export function standingWords(standing: Standing): string {
  switch (standing.kind) {
    case "joining":
      return "Joining the shared job…";
    case "together":
      if (standing.waiting > 0) return `Sending ${entries(standing.waiting)}…`;
      if (standing.others === 0) return "Shared; no other device is here now";
      return standing.others === 1 ? "Shared with 1 device" : `Shared with ${standing.others} devices`;
    case "alone":
      return standing.waiting === 0
        ? "Alone; catches up later"
        : `Alone; catches up later with ${entries(standing.waiting)}`;
    case "refused":
      return `Not shared: ${standing.why}`;
  }
}
