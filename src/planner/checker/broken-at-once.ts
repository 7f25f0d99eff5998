// Breaches that are seen without deriving anything: a plan that has just lost beer or containers is found to be broken in a
// fraction of the time that a whole check takes.
import type { Plan, Problem } from '../documents/problem.ts'

/**
 * Whether a plan draws quarantined beer (V8), or delivers from what is not there, from a quarantined lot (V8) or more than there
 * is (A2). False says nothing: the plan may break any other rule.
 */
export function isBrokenAtOnce({ batches, stock }: Problem, { fillRuns, deliveries }: Plan): boolean {
  const held = new Set<string>()
  for (const { id, quarantined } of batches) if (quarantined) held.add(id)
  const left = { lots: new Map<string, number>(), runs: new Map<string, number>() }
  for (const { id, quantity, quarantined } of stock) left.lots.set(id, quarantined ? 0 : quantity)
  for (const { id, batchId, quantity } of fillRuns) {
    if (held.has(batchId)) return true
    left.runs.set(id, quantity)
  }
  for (const { from } of deliveries)
    for (const { fillRunId, stockLotId, quantity } of from) {
      const [of, id] = fillRunId === undefined ? [left.lots, stockLotId ?? ''] : [left.runs, fillRunId]
      const rest = (of.get(id) ?? 0) - quantity
      if (rest < 0) return true
      of.set(id, rest)
    }
  return false
}
