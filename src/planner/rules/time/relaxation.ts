// T1, lifted to explain a line: its beer is ready the day it is brewed, and what stands is ready today.
import { all, batchesOf, type Relaxation, swap } from '../relaxation.ts'

export const readiness: Relaxation = {
  rule: 'T1',
  matters: () => true,
  lift: (state, line) => {
    const beer = state.model.beers[line.beer]
    const undos = [
      swap(
        beer,
        'readyAfter',
        beer.readyAfter.map(() => 0),
      ),
    ]
    for (const batch of batchesOf(state, line)) undos.push(swap(batch, 'ready', Math.min(batch.ready, 0)))
    return all(undos)
  },
  reason: (state, line) => ({
    rule: 'T1',
    code: 'NOT_READY_IN_TIME',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}
