// V8, lifted to explain a line: no batch of its beer is quarantined, and no lot of its pack.
import { element } from '../../model/element.ts'
import type { LineModel, LotModel } from '../../model/model.ts'
import type { State } from '../../model/state.ts'
import type { Relaxation } from '../relaxation.ts'
import { batchesOf, beerOf } from '../relaxation-scope.ts'

export const quarantine: Relaxation = {
  rule: 'V8',
  matters: (state, line) => [...batchesOf(state, line), ...lotsOf(state, line)].some(({ quarantined }) => quarantined),
  lift: (log, line) => {
    for (const batch of batchesOf(log.state, line)) log.swap(batch, 'quarantined', false)
    for (const lot of lotsOf(log.state, line)) log.swap(lot, 'quarantined', false)
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'V8', code: 'BEER_QUARANTINED', params: { beerId: beer.id }, resource: beer }
  },
}

function lotsOf({ model }: State, line: LineModel): LotModel[] {
  return element(model.lotsByPack, line.pack).map((index) => element(model.lots, index))
}
