// T1, lifted to explain a line: its beer is ready the day it is brewed, and today where it stands already.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { batchesOf, beerOf } from '../relaxation-scope.ts'

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
    for (const batch of batchesOf(log.state, line))
      log.swap(batch, 'ready', Math.min(batch.ready, Math.max(0, batch.brewOn)))
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'T1', code: 'NOT_READY_IN_TIME', params: { beerId: beer.id }, resource: beer }
  },
}
