// Whether the facts of a lot leave it fit to be sent out.
import { inOrder } from './batch-history.ts'
import type { Fact } from './fact.ts'

/** Whether a lot is kept back after its facts; one that was filled from a batch that was kept back starts so. */
export function isLotQuarantined(facts: readonly Fact[]): boolean {
  let quarantined = false
  for (const fact of inOrder(facts)) {
    if (fact.kind === 'FILLED' && fact.data.quarantined) quarantined = true
    if (fact.kind === 'LOT_QUARANTINED') quarantined = true
    if (fact.kind === 'LOT_RELEASED') quarantined = false
    if (fact.kind === 'REFUSED' && !fact.data.fit) quarantined = true
  }
  return quarantined
}
