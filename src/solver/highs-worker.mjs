// The thread on which HiGHS runs, one model after another: HiGHS is synchronous, so it must not run where requests are answered. Plain
// JavaScript, so that the thread starts in any environment (tsx, vitest, a compiled build) without a loader of its own.
import { parentPort, workerData } from 'node:worker_threads'
import loadHighs from 'highs'

const highs = await loadHighs({ wasmModule: workerData.solverCode })
const { modelStatus, callbackType } = highs.constants

const names = new Map([
  [modelStatus.optimal, 'OPTIMAL'],
  [modelStatus.empty, 'OPTIMAL'],
  [modelStatus.infeasible, 'INFEASIBLE'],
  [modelStatus.timeLimit, 'LIMIT'],
  [modelStatus.interrupted, 'LIMIT'],
])

/** A model in HiGHS, with the limits of its columns or others. */
function instanceOf(model, isMip, { lower, upper } = model) {
  return highs.createModel({
    numCols: model.columnCount,
    numRows: model.rowCount,
    offset: model.offset,
    colCost: model.cost,
    colLower: lower,
    colUpper: upper,
    rowLower: model.rowLower,
    rowUpper: model.rowUpper,
    matrix: {
      format: 'csr',
      numRows: model.rowCount,
      numCols: model.columnCount,
      starts: model.starts,
      indices: model.columns,
      values: model.values,
    },
    ...(isMip ? { integrality: model.whole } : {}),
  })
}

/**
 * The values of all columns at the best point that has the given ones; undefined where none has. HiGHS would find it itself, but would
 * report the bounds of that on its way as if they were the model's.
 */
function completed(model, options, start) {
  const lower = Float64Array.from(model.lower)
  const upper = Float64Array.from(model.upper)
  for (const [column, value] of start) {
    lower[column] = value
    upper[column] = value
  }
  const instance = instanceOf(model, true, { lower, upper })
  try {
    instance.options.set({ output_flag: false, ...options })
    instance.run()
    return instance.info.get('primal_solution_status') === 2 ? instance.getSolution().colValue : undefined
  } finally {
    instance.dispose()
  }
}

/** Solves a model and posts what it finds on the way and in the end. */
function solve({ model, options, start }) {
  // HiGHS refuses to say anything of a model in which there is nothing to decide.
  if (model.columnCount === 0) {
    const rowDuals = new Float64Array(model.rowCount)
    const solution = { bound: model.offset, objective: model.offset, values: new Float64Array(0), rowDuals }
    parentPort.postMessage({ kind: 'RESULT', status: 'OPTIMAL', ...solution })
    return
  }
  const isMip = model.whole.includes(1)
  const began = performance.now()
  const first = start && completed(model, options, start)
  // The start is part of the time that the solve may take.
  const time_limit = Math.max(0, options.time_limit - (performance.now() - began) / 1000)
  const instance = instanceOf(model, isMip)
  try {
    // Without its log, of which nothing is shown, HiGHS reports no bounds either.
    instance.options.set({ output_flag: true, log_to_console: false, ...options, time_limit })
    if (first) instance.setSolution({ indices: [...first.keys()], values: [...first] })
    const report = (event) => {
      parentPort.postMessage({ kind: 'PROGRESS', bound: event.data.mip_dual_bound ?? Number.NEGATIVE_INFINITY })
    }
    const better = ({ data }) => {
      const { objective_function_value: objective, mip_solution: values } = data
      parentPort.postMessage({ kind: 'BETTER', objective, values })
    }
    const heard = { [callbackType.mipLogging]: report, [callbackType.mipImprovingSolution]: better }
    const run = instance.run(isMip ? heard : {})
    const status = names.get(run.modelStatus) ?? 'FAILED'
    // 2 is "feasible" in HiGHS's solution statuses.
    const found = instance.info.get('primal_solution_status') === 2
    const solution = instance.getSolution()
    const objective = instance.getObjectiveValue()
    const optimal = status === 'OPTIMAL'
    const bound = isMip ? instance.info.get('mip_dual_bound') : optimal ? objective : Number.NEGATIVE_INFINITY
    parentPort.postMessage({
      kind: 'RESULT',
      status,
      bound,
      ...(found ? { objective, values: solution.colValue } : {}),
      ...(isMip ? {} : { rowDuals: solution.rowDual }),
    })
  } finally {
    instance.dispose()
  }
}

parentPort.on('message', solve)
