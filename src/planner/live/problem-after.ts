// The problem once some order lines have left it and others have come.
import type { OrderLine, Problem } from '../problem.ts'

/** The problem without some lines and with others; they stay in the order of their ids. */
export function problemAfter(problem: Problem, without: ReadonlySet<string>, coming: readonly OrderLine[]): Problem {
  const { orderLines } = problem
  const after = without.size === 0 ? [...orderLines] : orderLines.filter(({ id }) => !without.has(id))
  for (const line of coming) {
    let [low, high] = [0, after.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((after[middle]?.id ?? '') < line.id) low = middle + 1
      else high = middle
    }
    after.splice(low, 0, line)
  }
  return { ...problem, orderLines: after }
}
