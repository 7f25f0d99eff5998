// Facts about travel: dispatched, delivered, refused at the door.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import type { FactData } from '../../../floor/facts/fact.ts'
import { addDays, type LocalDate, type Plan } from '../../../planner/documents/index.ts'
import { encodeGlobalId } from '../../global-id.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { meanFill } from './containers.ts'
import { type FoundLine, findLine, findLot, lotById } from './find.ts'

const some = z.int().min(1).max(100_000)
const lots = z
  .array(z.strictObject({ lot: thingRef, quantity: some }))
  .min(1)
  .max(100)

/** Containers of a lot, with what is known of it. */
interface NamedLot {
  lotId: string
  quantity: number
  siteId: string
  /** How many of it stand at the site. */
  known: number
  code: string
  readyOn: Date
}

/** The lots that the input names, each of the line's pack. */
async function findLots(context: FactContext, line: FoundLine, given: z.output<typeof lots>): Promise<NamedLot[]> {
  const found: NamedLot[] = []
  for (const [index, { lot: ref, quantity }] of given.entries()) {
    const lot = await findLot(context, ref, `lots[${index}].lot`)
    if (!lot) continue
    if (lot.packId !== line.packId)
      context.note(issue(context.path(`lots[${index}].lot`), 'OTHER_PACK', `the lot ${lot.code} is of another pack`))
    found.push({
      lotId: lot.id,
      quantity,
      siteId: lot.siteId,
      known: lot.quantity,
      code: lot.code,
      readyOn: lot.readyOn,
    })
  }
  return found
}

const dispatchShape = z.strictObject({
  ...said,
  orderLine: thingRef,
  lots: lots.optional(),
  route: thingRef.optional(),
})

export const dispatched = factKind({ shape: dispatchShape, mean: meanDispatch })

async function meanDispatch(context: FactContext, given: z.output<typeof dispatchShape>): Promise<Meant | undefined> {
  const { plan, refs, path, note, tx, distributorId } = context
  const line = await findLine(context, given.orderLine)
  if (!line) return undefined
  const planned = plan?.deliveries.find(({ orderLineId }) => orderLineId === line.id)
  const was = wasDispatched(context, line.id)
  if (!given.lots && !planned && !was)
    note(issue(path('lots'), 'MISSING_VALUE', 'say which lots left: the plan has none for the line'))
  const implied: Meant[] = []
  const named = given.lots
    ? await findLots(context, line, given.lots)
    : was
      ? await Promise.all(was.lots.map(async (each) => ({ ...each, ...(await knownOf(context, each.lotId)) })))
      : await plannedLots(context, planned?.from ?? [], implied)
  const [first] = named
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
  const quantity = named.reduce((sum, each) => sum + each.quantity, 0)
  const open = line.quantity - line.dispatched - line.closedShort
  if (quantity > open)
    note(issue(path('lots'), 'MORE_THAN_ORDERED', `${quantity} left for a line that wants ${open} still`))
  const settleDays = line.order.account.settleDays ?? line.pack.settleDays
  const serveOn = addDays(day, route.transitDays + settleDays)
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
      { kind: 'DISPATCH', orderLineId: line.id, lots: named.map(({ lotId, quantity }) => ({ lotId, quantity })) },
    ],
    warnings: named.flatMap((each) => lotWarnings(each, day)),
    implied,
  }
}

/** The dispatch that is corrected, where it was of the same line. */
function wasDispatched({ corrects }: FactContext, lineId: string): FactData<'DISPATCHED'> | undefined {
  return corrects?.kind === 'DISPATCHED' && corrects.data.orderLineId === lineId ? corrects.data : undefined
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

async function knownOf(context: FactContext, lotId: string) {
  const { siteId, quantity: known, code, readyOn } = await lotById(context, lotId)
  return { siteId, known, code, readyOn }
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

/** Lots that are on the road for a line: those that left less those that arrived or came back. */
async function onRoad({ tx, distributorId }: FactContext, lineId: string) {
  const prefix = `ON_ROAD|${lineId}|`
  const rows = await tx.placeBalance.findMany({
    where: { distributorId, place: { startsWith: prefix }, amount: { gt: 0 } },
    orderBy: { place: 'asc' },
  })
  return rows.map(({ place, amount }) => ({ lotId: place.slice(prefix.length), quantity: Number(amount) }))
}

/** What arrived or came back: as named, else so many of what is on the road, else all of that. */
async function arriving(
  context: FactContext,
  line: FoundLine,
  given: { lots?: z.output<typeof lots> | undefined; quantity?: number | undefined },
): Promise<{ lotId: string; quantity: number; siteId: string }[]> {
  if (given.lots) return findLots(context, line, given.lots)
  const road = await onRoad(context, line.id)
  let left = given.quantity ?? Number.POSITIVE_INFINITY
  const taken = road.flatMap((each) => {
    const quantity = Math.min(each.quantity, left)
    left -= quantity
    return quantity > 0 ? [{ ...each, quantity }] : []
  })
  const planned = context.plan?.deliveries.find(({ orderLineId }) => orderLineId === line.id)
  if (taken.length === 0 && planned) {
    const implied: Meant[] = []
    return plannedLots(context, planned.from, implied)
  }
  if (taken.length === 0)
    context.note(issue(context.path('lots'), 'MISSING_VALUE', 'nothing is on the road for the line: say which lots'))
  return Promise.all(taken.map(async (each) => ({ ...each, siteId: (await knownOf(context, each.lotId)).siteId })))
}

const arrivalShape = z.strictObject({ ...said, orderLine: thingRef, lots: lots.optional(), quantity: some.optional() })

async function arrival(context: FactContext, given: z.output<typeof arrivalShape>) {
  if (given.lots && given.quantity !== undefined)
    context.note(issue(context.path('quantity'), 'NOT_BOTH', 'the lots say how many: give one of the two'))
  const line = await findLine(context, given.orderLine)
  if (!line) return undefined
  const found = await arriving(context, line, given)
  const [first] = found
  if (!first) return undefined
  const { tx, distributorId } = context
  const site = await tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: first.siteId } } })
  context.dayAt(site)
  return {
    line,
    siteId: site.id,
    data: {
      ...{ orderLineId: line.id, accountId: line.order.accountId, siteId: site.id, typeId: line.pack.containerTypeId },
      lots: found.map(({ lotId, quantity }) => ({ lotId, quantity })),
    },
    subjects: [
      { kind: 'ORDER_LINE' as const, id: line.id },
      { kind: 'ACCOUNT' as const, id: line.order.accountId },
      ...found.map(({ lotId }) => ({ kind: 'LOT' as const, id: lotId })),
    ],
  }
}

/** The dispatch of what arrived without having been said to leave. */
async function impliedDispatch(
  context: FactContext,
  given: z.output<typeof arrivalShape>,
  arrived: readonly { lotId: string; quantity: number }[],
): Promise<Meant[]> {
  const line = await findLine(context, given.orderLine)
  const road = new Map((await onRoad(context, line?.id ?? '')).map(({ lotId, quantity }) => [lotId, quantity]))
  const unsaid = arrived.flatMap(({ lotId, quantity }) => {
    const missing = quantity - (road.get(lotId) ?? 0)
    return missing > 0 ? [{ lot: { id: encodeGlobalId('StockLot', lotId) }, quantity: missing }] : []
  })
  if (unsaid.length === 0) return []
  const dispatch = await meanDispatch(context, { orderLine: given.orderLine, lots: unsaid })
  return dispatch ? [...(dispatch.implied ?? []), { ...dispatch, implied: [] }] : []
}

export const delivered = factKind({
  shape: arrivalShape,
  mean: async (context, given) => {
    const found = await arrival(context, given)
    if (!found) return undefined
    const { siteId, subjects, data, line } = found
    const quantity = data.lots.reduce((sum, each) => sum + each.quantity, 0)
    const due = line.quantity - line.delivered - line.closedShort
    if (quantity > due)
      context.note(
        issue(context.path('quantity'), 'MORE_THAN_ORDERED', `${quantity} arrived of a line that wants ${due} still`),
      )
    const implied = await impliedDispatch(context, given, data.lots)
    return { happened: { kind: 'DELIVERED', data }, siteId, subjects, carriedOut: [], warnings: [], implied }
  },
})

export const refused = factKind({
  shape: arrivalShape.extend({
    fit: z.boolean(),
    again: z.boolean(),
    why: z.string().min(1).max(500).optional(),
  }),
  mean: async (context, { fit, again, why, ...given }) => {
    const found = await arrival(context, given)
    if (!found) return undefined
    const { siteId, subjects, data } = found
    const happened: Meant['happened'] = { kind: 'REFUSED', data: { ...data, fit, again, why } }
    return { happened, siteId, subjects, carriedOut: [], warnings: [] }
  },
})
