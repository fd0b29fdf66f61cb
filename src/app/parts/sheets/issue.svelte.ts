import { say } from "../../state/notices.svelte.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";
import { studio } from "../../state/studio.svelte.ts";
import { sheetsCore } from "./worker/client.ts";

/** The day here, as 2031-02-14. */
function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** Issuing: worked out by the sheets worker, as the tiles have to be shared out to engines first. */
class IssueState {
  working = $state(false);
  /** What came of it. */
  said = $state.raw<string[]>([]);

  constructor() {
    ofOneJob(() => (this.said = []));
  }

  /** Issues some tiles, or all that wait for nobody. */
  async run(tiles: string[] | null): Promise<void> {
    const job = studio.settledJob;
    this.working = true;
    this.said = [];
    try {
      const answer = await sheetsCore().issue(job, today(), tiles);
      if (!answer.ok) {
        const words =
          "cannot" in answer
            ? `${answer.cannot.message} ${answer.cannot.next}`
            : (answer.faults[0]?.next ?? "");
        this.said = [words];
        return;
      }
      // what was changed while the worker was at it is not what was issued
      if (studio.settledJob !== job) {
        this.said = ["The job was changed meanwhile. Nothing was issued; issue it once more."];
        return;
      }
      const { issued, done, held, dark } = answer.value;
      studio.fix((present) => ({ ...present, issued }));
      this.said = [
        done.length > 0 ? `Issued: ${done.join(", ")}.` : "No tile was issued that was not issued before.",
        ...(dark > 0
          ? [`${dark} of their holes have no engine yet: issue them once more when they have.`]
          : []),
        ...held.map(({ tile, why }) => `HOLD ${tile}, not issued. ${why}`),
      ];
    } catch (error) {
      console.error(error);
      say("issue", "The tiles could not be issued. The job itself is kept.");
    } finally {
      this.working = false;
    }
  }
}

export const issue = new IssueState();
