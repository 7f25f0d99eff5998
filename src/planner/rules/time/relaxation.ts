// T1, lifted to explain a line: its beer is ready the day it is brewed, and what stands is ready today.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { batchesOf, beerOf } from '../relaxation-scope.ts'

/** Beer ready the day it is brewed, and standing beer ready today. */
export const readiness: Relaxation = {
  rule: 'T1',
  matters: () => true,
  lift: (log, line) => {
    const beer = element(log.state.model.beers, line.beer)
    log.swap(
      beer,
      'readyAfter',
      beer.readyAfter.map(() => 0),
    )
    for (const batch of batchesOf(log.state, line)) log.swap(batch, 'ready', Math.min(batch.ready, 0))
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'T1', code: 'NOT_READY_IN_TIME', params: { beerId: beer.id }, resource: beer }
  },
}
