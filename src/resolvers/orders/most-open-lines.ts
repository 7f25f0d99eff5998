// How many lines of a distributor may be open at a time: the problem of the planner has all of them, and stays within memory.
import { type Issue, issue } from '../../errors.ts'
import type { Problem } from '../../planner/documents/index.ts'

/** As many as the largest problem of the benchmarks has: a small brewery has some hundreds. */
export const MOST_OPEN_LINES = 20_000

/** What is wrong with so many more lines, which an input names at `path`, beside those that are open or reserved. */
export function openLineFaults({ orderLines }: Pick<Problem, 'orderLines'>, more: number, path: string): Issue[] {
  if (more === 0 || orderLines.length + more <= MOST_OPEN_LINES) return []
  const most = `and at most ${MOST_OPEN_LINES.toLocaleString('en')} may be`
  return [issue(path, 'TOO_MANY_OPEN_LINES', `there are ${orderLines.length.toLocaleString('en')} open lines, ${most}`)]
}
