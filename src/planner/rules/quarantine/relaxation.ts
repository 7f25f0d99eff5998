// V8, lifted to explain a line: no batch of its beer is quarantined.
import { all, batchesOf, type Relaxation, swap } from '../relaxation.ts'

export const quarantine: Relaxation = {
  rule: 'V8',
  matters: (state, line) => batchesOf(state, line).some(({ quarantined }) => quarantined),
  lift: (state, line) => all(batchesOf(state, line).map((batch) => swap(batch, 'quarantined', false))),
  reason: (state, line) => ({
    rule: 'V8',
    code: 'BEER_QUARANTINED',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}
