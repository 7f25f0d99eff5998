// F1, lifted to explain a line: no day is frozen.
import type { Relaxation } from '../relaxation.ts'

export const frozen: Relaxation = {
  rule: 'F1',
  matters: ({ model }) => model.frozenUntil > 0,
  lift: (log) => log.swap(log.state.model, 'frozenUntil', 0),
  reason: () => ({ rule: 'F1', code: 'DAYS_FROZEN' }),
}
