import type { PointMm } from "../../../geometry/types.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";

/** What is being drawn and is no part of the job yet. */
class Sketch {
  /** Corners of a new outline so far. */
  corners = $state.raw<PointMm[]>([]);
  /** A new thing being spanned, from where the press began to where the hand is. */
  span = $state.raw<{ from: PointMm; to: PointMm } | null>(null);

  /** Two points of the plan beneath whose distance was measured. */
  measured = $state.raw<PointMm[]>([]);

  constructor() {
    ofOneJob(() => this.clear());
  }

  clear(): void {
    this.measured = [];
    this.corners = [];
    this.span = null;
  }
}

export const sketch = new Sketch();
