import type { Highs } from "highs";
import type { MipAnswer, MipModel, Solver } from "./solver.ts";

/**
 * Restarts and cuts at nodes pay off only beyond this many columns. Measured: 60 tiles on 3 engines take a third
 * of the time without them, 600 tiles on 20 engines four times as long.
 */
const LARGE_COLUMNS = 4000;

/**
 * HiGHS as our solver. Both shells load the same WebAssembly, whose arithmetic is the same in every engine:
 * short of a time limit the answer is too.
 */
export function highsSolver(highs: Highs): Solver {
  return (programme, { timeLimitS, relativeGap }) => {
    const model = highs.createModel(sparse(programme));
    const large = programme.cost.length > LARGE_COLUMNS;
    try {
      model.options.set({
        output_flag: false,
        time_limit: timeLimitS,
        mip_rel_gap: relativeGap,
        random_seed: 0,
        mip_allow_restart: large,
        mip_allow_cut_separation_at_nodes: large,
      });
      model.run();
      return answerOf(highs, model);
    } finally {
      model.dispose();
    }
  };
}

function sparse(m: MipModel): Parameters<Highs["createModel"]>[0] {
  return {
    numCols: m.cost.length,
    numRows: m.rowLower.length,
    colCost: m.cost,
    colLower: m.lower,
    colUpper: m.upper,
    rowLower: m.rowLower,
    rowUpper: m.rowUpper,
    integrality: m.whole,
    matrix: {
      format: "csr",
      numRows: m.rowLower.length,
      numCols: m.cost.length,
      starts: m.starts,
      indices: m.indices,
      values: m.values,
    },
  };
}

function answerOf(highs: Highs, model: ReturnType<Highs["createModel"]>): MipAnswer {
  const { modelStatus, solutionStatus } = highs.constants;
  const status = model.getModelStatus();
  const found = model.info.get("primal_solution_status") === solutionStatus.feasible;
  const bound = Number(model.info.get("mip_dual_bound"));
  const objective = found ? model.getObjectiveValue() : Infinity;
  const none = status === modelStatus.infeasible || status === modelStatus.unboundedOrInfeasible;
  return {
    status: status === modelStatus.optimal ? "optimal" : none ? "infeasible" : "limit",
    values: found ? Float64Array.from(model.getSolution().colValue) : null,
    objective,
    // A programme without whole columns is a linear one: its optimum is its own bound.
    bound: status === modelStatus.optimal && !Number.isFinite(bound) ? objective : bound,
  };
}
