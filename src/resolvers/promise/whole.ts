// Whether a trial placement serves what is asked for.
import type { TrialAnswer } from '../../planner/index.ts'

/** Whether all that the line asks for is served. */
export function isWhole({ served, quantity }: Pick<TrialAnswer, 'served' | 'quantity'>): boolean {
  return served === quantity
}
