// V8, lifted to explain a line: no batch of its beer is quarantined.

import type { Relaxation } from '../relaxation.ts'
import { batchesOf, beerOf } from '../relaxation-scope.ts'

export const quarantine: Relaxation = {
  rule: 'V8',
  matters: (state, line) => batchesOf(state, line).some(({ quarantined }) => quarantined),
  lift: (log, line) => {
    for (const batch of batchesOf(log.state, line)) log.swap(batch, 'quarantined', false)
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'V8', code: 'BEER_QUARANTINED', params: { beerId: beer.id }, resource: beer }
  },
}
