// V7, lifted to explain a line: all beer at hand is fit for priming.

import type { Relaxation } from '../relaxation.ts'
import { batchesOf, packOf } from '../relaxation-scope.ts'

export const priming: Relaxation = {
  rule: 'V7',
  matters: (state, line) => packOf(state, line).primingWindow >= 0,
  lift: (log, line) => {
    const pack = packOf(log.state, line)
    log.swap(pack, 'primingWindow', pack.primingWindow < 0 ? -1 : Number.POSITIVE_INFINITY)
    for (const batch of batchesOf(log.state, line)) log.swap(batch, 'primable', true)
  },
  reason: (state, line) => {
    const { id } = packOf(state, line)
    return { rule: 'V7', code: 'NOT_FIT_FOR_PRIMING', params: { packId: id }, resource: { kind: 'PACK', id } }
  },
}
