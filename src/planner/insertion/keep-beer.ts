// Transfers without draws: beer moved only to keep it. A plan that is opened from its document and one that is
// kept open judge them by the same rule, one after the other, so that both have the same.

import { type Batch, byBirth, type Transfer } from '../model/batch.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { fits } from '../model/vessels.ts'
import { transferable } from './days.ts'
import { drawCost } from './draws.ts'

/**
 * Adds each of the transfers that may be made (V3–V6) and saves something beside those before it. The oldest batch
 * comes first. Left out are transfers of a batch that is moved already or that nothing else needs, and those on frozen days (F1).
 */
export function keepBeer(log: UndoLog, wanted: ReadonlyMap<Batch, Transfer>): void {
  const { state } = log
  const { model } = state
  for (const [batch, transfer] of [...wanted].sort(([a], [b]) => byBirth(a, b))) {
    const { on, bright } = transfer
    if (!batch.active || batch.fermenter < 0 || batch.transferOn >= 0 || on < model.frozenUntil) continue
    if (!fits(model, state.stays[bright], bright, on, model.horizon - 1)) continue
    if (!transferable(state, batch, transfer) || drawCost(state, batch, 0, true, transfer) > 0) continue
    log.stock({ batch, filler: -1, day: -1, pack: -1, quantity: 0, transferOn: on, bright })
  }
}
