// V7, lifted to explain a line: all beer at hand is fit for priming.
import { all, batchesOf, type Relaxation, swap } from '../relaxation.ts'

export const priming: Relaxation = {
  rule: 'V7',
  matters: (state, line) => state.model.packs[line.pack].primingWindow >= 0,
  lift: (state, line) =>
    all([
      swap(
        state.model.packs[line.pack],
        'primingWindow',
        state.model.packs[line.pack].primingWindow < 0 ? -1 : Number.POSITIVE_INFINITY,
      ),
      ...batchesOf(state, line).map((batch) => swap(batch, 'primable', true)),
    ]),
  reason: (state, line) => ({
    rule: 'V7',
    code: 'NOT_FIT_FOR_PRIMING',
    params: { packId: state.model.packs[line.pack].id },
    resource: { kind: 'PACK', id: state.model.packs[line.pack].id },
  }),
}
