// The fact that containers left for an order line.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import type { Fact } from '../../../floor/facts/fact.ts'
import { saidToHaveLeft } from '../../../floor/facts/line-history.ts'
import { nextDelivery } from '../../../floor/planned-day.ts'
import { addDays, type LocalDate, type Plan } from '../../../planner/documents/index.ts'
import { factsAbout } from '../../../records/fact-rows.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { withFirstToExpire } from './exchange-lots.ts'
import { meanFill } from './fills.ts'
import { ofTheSameDay } from './find.ts'
import { countOf, type FoundLine, findLine, findLots, knownOf, lineById, lots, type NamedLot } from './order-lines.ts'

const dispatchShape = z.strictObject({
  ...said,
  orderLine: thingRef,
  lots: lots.optional(),
  route: thingRef.optional(),
})

export const dispatched = factKind({ shape: dispatchShape, mean: meanDispatch })

/** What a dispatch means; what the input leaves out is as the plan sends it next. */
export async function meanDispatch(
  context: FactContext,
  given: z.output<typeof dispatchShape>,
): Promise<Meant | undefined> {
  const { plan, refs, path, note, tx, distributorId } = context
  const found = await findLine(context, given.orderLine)
  if (!found) return undefined
  const openBefore = await openOf(context, found)
  const before = context.corrects ?? (await dispatchAssumed(context, found, given, openBefore))
  // Where nothing was taken back all is as it was found.
  const line = before ? await lineById(context, found.id) : found
  const open = before ? await openOf(context, line) : openBefore
  const planned = before ? undefined : nextDelivery(plan, line.id)
  const was = before?.kind === 'DISPATCHED' && before.data.orderLineId === line.id ? before.data : undefined
  if (!given.lots && !planned && !was)
    note(issue(path('lots'), 'MISSING_VALUE', 'say which lots left: the plan has none for the line'))
  const implied: Meant[] = []
  const asPlanned = given.lots
    ? await findLots(context, line, given.lots)
    : was
      ? await Promise.all(was.lots.map(async (each) => ({ ...each, ...(await knownOf(context, each.lotId)) })))
      : await plannedLots(context, planned?.from ?? [], implied)
  const [first] = asPlanned
  if (!first) return undefined
  const routeId = given.route
    ? await refs.id('Route', given.route, path('route'), { retired: true })
    : (was ?? planned)?.routeId
  const route = routeId
    ? await tx.route.findUnique({
        where: { distributorId_id: { distributorId, id: routeId } },
        include: { site: true },
      })
    : undefined
  if (!route) {
    if (!given.route) note(issue(path('route'), 'MISSING_VALUE', 'say on which route it left'))
    return undefined
  }
  const day = context.dayAt(route.site)
  const quantity = countOf(asPlanned)
  if (quantity > open)
    note(issue(path('lots'), 'MORE_THAN_ORDERED', `${quantity} left for a line that wants ${open} still`))
  const settleDays = line.order.account.settleDays ?? line.pack.settleDays
  const serveOn = addDays(day, route.transitDays + settleDays)
  const { named, exchanged } =
    planned && !given.lots
      ? await withFirstToExpire(context, line, asPlanned, { planned, day, serveOn })
      : { named: asPlanned, exchanged: [] }
  return {
    happened: {
      kind: 'DISPATCHED',
      data: {
        ...{ orderLineId: line.id, accountId: line.order.accountId, routeId: route.id },
        ...{ siteId: first.siteId, typeId: line.pack.containerTypeId, serveOn, short: Math.max(0, open - quantity) },
        lots: named.map((each) => ({ lotId: each.lotId, quantity: each.quantity })),
      },
    },
    siteId: first.siteId,
    subjects: [
      { kind: 'ORDER_LINE', id: line.id },
      { kind: 'ACCOUNT', id: line.order.accountId },
      { kind: 'ROUTE', id: route.id },
      ...named.map(({ lotId }) => ({ kind: 'LOT' as const, id: lotId })),
    ],
    ...(planned ? { decision: { kind: 'DELIVERY' as const, id: line.id } } : {}),
    carriedOut: [
      {
        ...{ kind: 'DISPATCH' as const, orderLineId: line.id, exchanged },
        lots: named.map(({ lotId, quantity }) => ({ lotId, quantity })),
      },
    ],
    warnings: named.flatMap((each) => lotWarnings(each, day)),
    implied,
  }
}

/** Containers of a line that can leave for it still. */
async function openOf({ tx, distributorId }: FactContext, line: FoundLine): Promise<number> {
  const facts = (await factsAbout(tx, distributorId, 'ORDER_LINE', [line.id])).get(line.id) ?? []
  return line.quantity - saidToHaveLeft(facts) - line.closedShort
}

/** The assumed dispatch that is said otherwise: of the same line and day, or of what else would be more than is wanted. */
async function dispatchAssumed(
  context: FactContext,
  line: FoundLine,
  given: z.output<typeof dispatchShape>,
  open: number,
): Promise<Fact | undefined> {
  const isOfDay = ofTheSameDay(context)
  const isTooMuch = given.lots ? countOf(given.lots) > open : open === 0
  return context.takeAssumed({
    ...{ kinds: ['DISPATCHED'], subjects: [{ kind: 'ORDER_LINE', id: line.id }] },
    where: (fact) => isTooMuch || isOfDay(fact),
  })
}

/** The lots that the plan takes; of a run that has not been said to be filled, the lot that the dispatch implies. */
async function plannedLots(
  context: FactContext,
  from: Plan['deliveries'][number]['from'],
  implied: Meant[],
): Promise<NamedLot[]> {
  const found: NamedLot[] = []
  for (const { stockLotId, fillRunId, quantity } of from) {
    if (stockLotId !== undefined) found.push({ lotId: stockLotId, quantity, ...(await knownOf(context, stockLotId)) })
    const run = context.plan?.fillRuns.find(({ id }) => id === fillRunId)
    if (!run) continue
    const defaults = { fillRun: run.id, quantity: run.quantity, spoiled: 0, litresLost: 0, more: false }
    const fill = await meanFill({ ...context, dayAt: (site) => earlierOf(run.on, context.dayAt(site)) }, defaults)
    if (fill?.happened.kind !== 'FILLED') continue
    const { lotId, siteId } = fill.happened.data
    const warning = { code: 'FILL_IMPLIED' as const, message: 'The fill had not been said: it is taken as planned.' }
    implied.push({ ...fill, warnings: [...fill.warnings, warning] })
    found.push({ lotId, quantity, siteId, known: run.quantity, code: lotId, readyOn: new Date(0) })
  }
  return found
}

function earlierOf(a: LocalDate, b: LocalDate): LocalDate {
  return a < b ? a : b
}

function lotWarnings(lot: { code: string; known: number; quantity: number; readyOn: Date }, day: LocalDate): Warning[] {
  const { code, known, quantity, readyOn } = lot
  const ready = readyOn.toISOString().slice(0, 10)
  return [
    ...(quantity > known
      ? [
          {
            code: 'MORE_THAN_KNOWN' as const,
            message: `${quantity} left the lot ${code}, of which ${known} were known.`,
          },
        ]
      : []),
    ...(day < ready
      ? [
          {
            code: 'LEFT_TOO_YOUNG' as const,
            message: `The lot ${code} conditions until ${ready}: it left too young (B3).`,
          },
        ]
      : []),
  ]
}
