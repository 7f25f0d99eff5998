// Lots that are on the road for an order line, and what of them was called back.
import { heldOnRoad } from '../../../floor/facts/line-history.ts'
import { factsAbout } from '../../../records/fact-rows.ts'
import type { FactContext } from '../fact-kind.ts'

/** Containers of a lot on the road; `held` of them were called back. */
export interface OnRoad {
  lotId: string
  quantity: number
  held: number
}

/** What left for a line less what arrived or came back, in order of the lots' ids. */
export async function onRoad(
  { tx, distributorId }: Pick<FactContext, 'tx' | 'distributorId'>,
  lineId: string,
): Promise<OnRoad[]> {
  const prefix = `ON_ROAD|${lineId}|`
  const rows = await tx.placeBalance.findMany({
    where: { distributorId, place: { startsWith: prefix }, amount: { gt: 0 } },
    orderBy: { place: 'asc' },
  })
  if (rows.length === 0) return []
  const held = heldOnRoad((await factsAbout(tx, distributorId, 'ORDER_LINE', [lineId])).get(lineId) ?? [])
  return rows.map(({ place, amount }) => {
    const lotId = place.slice(prefix.length)
    const quantity = Number(amount)
    return { lotId, quantity, held: Math.min(quantity, held.get(lotId) ?? 0) }
  })
}
