// The lots that leave for a line in place of those that the plan has for it: what expires first goes first.
import { dateOf, dayOf } from '../../../database/calendar-day.ts'
import { type Exchange, firstToExpire } from '../../../floor/first-to-expire.ts'
import { addDays, type LocalDate, laterOf, type Plan } from '../../../planner/documents/index.ts'
import type { FactContext } from '../fact-kind.ts'
import { type FoundLine, knownOf, type NamedLot } from './order-lines.ts'

/** When a delivery leaves, and when its beer is served. */
interface Leaving {
  planned: Plan['deliveries'][number]
  day: LocalDate
  serveOn: LocalDate
}

/** `named` with lots of the store exchanged, and what later deliveries are to take then. What is filled for the line stays. */
export async function withFirstToExpire(
  context: FactContext,
  line: FoundLine,
  named: readonly NamedLot[],
  { planned, day, serveOn }: Leaving,
): Promise<{ named: NamedLot[]; exchanged: Exchange[] }> {
  const { tx, distributorId, plan } = context
  const inStore = new Set(planned.from.flatMap(({ stockLotId }) => stockLotId ?? []))
  const stored = named.filter(({ lotId }) => inStore.has(lotId))
  const [first] = stored
  if (!first || !plan) return { named: [...named], exchanged: [] }
  const goodUntil = addDays(laterOf(serveOn, planned.serveOn), line.order.account.minDaysOnSale)
  const here = await tx.stockLot.findMany({
    where: {
      ...{ distributorId, packId: line.packId, siteId: first.siteId, quarantined: false, quantity: { gt: 0 } },
      ...{ readyOn: { lte: dateOf(day) }, bestBefore: { gte: dateOf(goodUntil) } },
    },
    select: { id: true, quantity: true, bestBefore: true },
  })
  const lots = here.map(({ id, quantity, bestBefore }) => ({ lotId: id, quantity, bestBefore: dayOf(bestBefore) }))
  const taking = firstToExpire(stored, lots, plan, planned, day)
  const taken = await Promise.all(
    taking.lots.map(async ({ lotId, quantity }) => ({ lotId, quantity, ...(await knownOf(context, lotId)) })),
  )
  return { named: [...taken, ...named.filter(({ lotId }) => !inStore.has(lotId))], exchanged: taking.exchanged }
}
