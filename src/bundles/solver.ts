/** A mixed-integer programme: minimise cost . x, row bounds on A x, bounds on x. Rows laid flat (CSR). */
export interface MipModel {
  cost: Float64Array;
  lower: Float64Array;
  upper: Float64Array;
  /** 1 where a column must be whole. */
  whole: Int32Array;
  rowLower: Float64Array;
  rowUpper: Float64Array;
  starts: Int32Array;
  indices: Int32Array;
  values: Float64Array;
}

export interface MipAnswer {
  status: "optimal" | "limit" | "infeasible";
  /** The best found; null if none. */
  values: Float64Array | null;
  objective: number;
  /** No solution can cost less than this. */
  bound: number;
}

/** Solves a programme; the shells load one (HiGHS in WebAssembly) and hand it in. May throw: then hand rules serve. */
export type Solver = (model: MipModel, options: { timeLimitS: number; relativeGap: number }) => MipAnswer;

export const UNBOUNDED = 1e30;

/** Collects columns and rows one by one. */
export class ModelBuilder {
  private readonly cost: number[] = [];
  private readonly lower: number[] = [];
  private readonly upper: number[] = [];
  private readonly whole: number[] = [];
  private readonly rowLower: number[] = [];
  private readonly rowUpper: number[] = [];
  private readonly starts: number[] = [0];
  private readonly indices: number[] = [];
  private readonly values: number[] = [];

  /** Adds a column and gives its number. */
  column(cost: number, lower: number, upper: number, whole: boolean): number {
    this.cost.push(cost);
    this.lower.push(lower);
    this.upper.push(upper);
    this.whole.push(whole ? 1 : 0);
    return this.cost.length - 1;
  }

  row(lower: number, upper: number, terms: readonly (readonly [column: number, value: number])[]): void {
    if (terms.length === 0) return;
    for (const [column, value] of terms) {
      this.indices.push(column);
      this.values.push(value);
    }
    this.rowLower.push(lower);
    this.rowUpper.push(upper);
    this.starts.push(this.indices.length);
  }

  model(): MipModel {
    return {
      cost: Float64Array.from(this.cost),
      lower: Float64Array.from(this.lower),
      upper: Float64Array.from(this.upper),
      whole: Int32Array.from(this.whole),
      rowLower: Float64Array.from(this.rowLower),
      rowUpper: Float64Array.from(this.rowUpper),
      starts: Int32Array.from(this.starts),
      indices: Int32Array.from(this.indices),
      values: Float64Array.from(this.values),
    };
  }
}
