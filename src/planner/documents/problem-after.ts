// The problem once some order lines have left it and others have come.
import { partitionPoint } from './partition-point.ts'
import type { OrderLine, Problem } from './problem.ts'

/** The problem without some lines and with others; they stay in the order of their ids. */
export function problemAfter(problem: Problem, without: ReadonlySet<string>, coming: readonly OrderLine[]): Problem {
  const { orderLines } = problem
  const after = without.size === 0 ? [...orderLines] : orderLines.filter(({ id }) => !without.has(id))
  for (const line of coming) {
    const at = partitionPoint(after, ({ id }) => id < line.id)
    after.splice(at, 0, line)
  }
  return { ...problem, orderLines: after }
}
