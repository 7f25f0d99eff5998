// Lots exchanged before they leave: what expires first goes first, also where the plan has kept it for a later day.
import type { LocalDate, Plan } from '../planner/documents/index.ts'

/** A lot that stands at the site, may leave today, and is good long enough for the line. */
export interface LotHere {
  lotId: string
  /** Whole containers. */
  quantity: number
  bestBefore: LocalDate
}

/** So many containers of a lot. */
export interface Taken {
  lotId: string
  quantity: number
}

/** Containers of a lot that later deliveries were to take, and those of another lot that are left for them. */
export interface Exchange extends Taken {
  left: string
}

/**
 * What a delivery takes on a day in place of the lots `planned` for it, and what later deliveries are to take then. Of `here` it may
 * have what no other delivery takes by that day. Later ones can take what is left: it expires later, and could leave today already.
 * A lot that a second delivery of the same line is to take stays with that one.
 */
export function firstToExpire(
  planned: readonly Taken[],
  store: readonly LotHere[],
  { deliveries }: Pick<Plan, 'deliveries'>,
  leaving: Plan['deliveries'][number],
  day: LocalDate,
): { lots: Taken[]; exchanged: Exchange[] } {
  const others = deliveries.filter((each) => each !== leaving)
  const ofSameLine = wantedOf(others.filter(({ orderLineId }) => orderLineId === leaving.orderLineId))
  const here = store.filter(({ lotId }) => !ofSameLine.has(lotId) || planned.some((lot) => lot.lotId === lotId))
  const byToday = wantedOf(others.filter(({ dispatchOn }) => dispatchOn <= day))
  const ever = wantedOf(others)
  const own = new Map(planned.map(({ lotId, quantity }) => [lotId, quantity]))
  const had = (lotId: string) => own.get(lotId) ?? 0
  let wanted = planned.reduce((sum, { quantity }) => sum + quantity, 0)
  const order = [...here].sort(
    (a, b) =>
      compare(a.bestBefore, b.bestBefore) ||
      Number(had(b.lotId) > 0) - Number(had(a.lotId) > 0) ||
      compare(a.lotId, b.lotId),
  )
  const lots = order.flatMap(({ lotId, quantity: there }) => {
    const quantity = Math.min(wanted, Math.max(0, there - (byToday.get(lotId) ?? 0)))
    wanted -= quantity
    return quantity > 0 ? [{ lotId, quantity }] : []
  })
  // Less is there than was planned: what is planned is said as it was, and the records have to be set right.
  if (wanted > 0) return { lots: [...planned], exchanged: [] }
  const taken = new Map(lots.map(({ lotId, quantity }) => [lotId, quantity]))
  const left = planned.map(({ lotId, quantity }) => ({ lotId, quantity: quantity - (taken.get(lotId) ?? 0) }))
  const missing = order.map(({ lotId, quantity }) => {
    const more = (taken.get(lotId) ?? 0) - had(lotId)
    const unwanted = Math.max(0, quantity - had(lotId) - (ever.get(lotId) ?? 0))
    return { lotId, quantity: more - unwanted }
  })
  return { lots, exchanged: paired(missing, left) }
}

/** What is missing of lots, made good by what is left of others. */
function paired(missing: readonly Taken[], left: Taken[]): Exchange[] {
  return missing.flatMap(({ lotId, quantity }) => {
    let short = quantity
    return left.flatMap((other) => {
      const part = Math.min(short, other.quantity)
      if (part <= 0) return []
      short -= part
      other.quantity -= part
      return [{ lotId, quantity: part, left: other.lotId }]
    })
  })
}

/** Containers that deliveries take, by lot. */
function wantedOf(deliveries: Plan['deliveries']): Map<string, number> {
  const wanted = new Map<string, number>()
  for (const { stockLotId, quantity } of deliveries.flatMap(({ from }) => from))
    if (stockLotId !== undefined) wanted.set(stockLotId, (wanted.get(stockLotId) ?? 0) + quantity)
  return wanted
}

/** The deliveries with an exchange made good: the last to leave take what is left. */
export function exchanged(deliveries: Plan['deliveries'], { lotId, left, quantity }: Exchange): Plan['deliveries'] {
  let rest = quantity
  const changed = new Map<Plan['deliveries'][number], Plan['deliveries'][number]>()
  for (const delivery of [...deliveries].sort((a, b) => compare(b.dispatchOn, a.dispatchOn))) {
    const taken = delivery.from.find(({ stockLotId }) => stockLotId === lotId)
    const part = Math.min(rest, taken?.quantity ?? 0)
    if (part === 0) continue
    rest -= part
    const from = delivery.from.flatMap((source) => {
      if (source !== taken) return [source]
      return source.quantity > part ? [{ ...source, quantity: source.quantity - part }] : []
    })
    const known = from.find(({ stockLotId }) => stockLotId === left)
    const other = { stockLotId: left, quantity: part + (known?.quantity ?? 0) }
    changed.set(delivery, { ...delivery, from: [...from.filter((source) => source !== known), other] })
  }
  return deliveries.map((delivery) => changed.get(delivery) ?? delivery)
}

function compare(a: string, b: string): number {
  return a === b ? 0 : a < b ? -1 : 1
}
