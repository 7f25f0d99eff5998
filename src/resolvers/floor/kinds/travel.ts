// Facts about what arrives: delivered, or refused at the door.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import type { Fact, FactData } from '../../../floor/facts/fact.ts'
import { nextDelivery } from '../../../floor/planned-day.ts'
import { encodeGlobalId } from '../../global-id.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said } from '../fact-kind.ts'
import { meanDispatch } from './dispatches.ts'
import { ofTheSameDay, some } from './find.ts'
import { type OnRoad, onRoad } from './on-road.ts'
import { countOf, type FoundLine, findLine, findLots, knownOf, lineById, lots } from './order-lines.ts'

const arrivalShape = z.strictObject({ ...said, orderLine: thingRef, lots: lots.optional(), quantity: some.optional() })
type ArrivalInput = z.output<typeof arrivalShape>

/** What came off the road: it arrived at the account, or came back from the door. */
type Ending = 'DELIVERED' | 'REFUSED'

/** What arrived or came back, and the facts that it implies. */
interface Arriving {
  lots: readonly { lotId: string; quantity: number }[]
  implied: Meant[]
}

/**
 * As named, else so many of what is on the road, else of what the plan sends next. What was called back is held on the road: it
 * arrives where it is named alone.
 */
async function arriving(
  context: FactContext,
  line: FoundLine,
  given: ArrivalInput,
  ending: Ending,
  road: readonly OnRoad[],
): Promise<Arriving | undefined> {
  if (given.lots) return dispatchedFirst(context, given, road, await findLots(context, line, given.lots))
  const coming = ending === 'DELIVERED' ? road.map((lot) => ({ ...lot, quantity: lot.quantity - lot.held })) : road
  const first = firstOf(coming, given.quantity)
  if (first.length > 0) return { lots: first, implied: [] }
  if (nextDelivery(context.plan, line.id)) {
    const dispatch = await meanDispatch(context, { orderLine: given.orderLine })
    if (dispatch?.happened.kind !== 'DISPATCHED') return undefined
    return { lots: firstOf(dispatch.happened.data.lots, given.quantity), implied: withImplied(dispatch) }
  }
  const held = 'what is on the road for the line was called back: say which lots arrived all the same'
  const why = road.length > 0 ? held : 'nothing is on the road for the line: say which lots'
  context.note(issue(context.path('lots'), 'MISSING_VALUE', why))
  return undefined
}

/** The first so many containers of some lots; all where no number is given. */
function firstOf(list: Arriving['lots'], most = Number.POSITIVE_INFINITY): Arriving['lots'] {
  let left = most
  return list.flatMap(({ lotId, quantity: there }) => {
    const quantity = Math.min(there, left)
    left -= quantity
    return quantity > 0 ? [{ lotId, quantity }] : []
  })
}

function withImplied(meant: Meant): Meant[] {
  return [...(meant.implied ?? []), { ...meant, implied: [] }]
}

/** What arrived, with the dispatch of what of it was not said to have left. */
async function dispatchedFirst(
  context: FactContext,
  given: ArrivalInput,
  road: readonly OnRoad[],
  arrived: Arriving['lots'],
): Promise<Arriving> {
  const there = new Map(road.map(({ lotId, quantity }) => [lotId, quantity]))
  const unsaid = arrived.flatMap(({ lotId, quantity }) => {
    const missing = quantity - (there.get(lotId) ?? 0)
    return missing > 0 ? [{ lot: { id: encodeGlobalId('StockLot', lotId) }, quantity: missing }] : []
  })
  const dispatch =
    unsaid.length > 0 ? await meanDispatch(context, { orderLine: given.orderLine, lots: unsaid }) : undefined
  return { lots: arrived, implied: dispatch ? withImplied(dispatch) : [] }
}

/** The assumed delivery that is said otherwise: of the same day, or of what else would be more than was to come. */
async function deliveryAssumed(context: FactContext, line: FoundLine, given: ArrivalInput): Promise<Fact | undefined> {
  const isOfDay = ofTheSameDay(context)
  const due = line.quantity - line.delivered - line.closedShort
  const isTooMuch = (given.lots ? countOf(given.lots) : (given.quantity ?? 1)) > due
  return context.takeAssumed({
    ...{ kinds: ['DELIVERED'], subjects: [{ kind: 'ORDER_LINE', id: line.id }] },
    where: (fact) => isTooMuch || isOfDay(fact),
  })
}

/** The lots, each with how many of it had been called back: they come back first, and arrive last. */
function withRecalled(list: Arriving['lots'], ending: Ending, road: readonly OnRoad[]) {
  return list.map(({ lotId, quantity }) => {
    const { quantity: there = 0, held = 0 } = road.find((each) => each.lotId === lotId) ?? {}
    const others = ending === 'DELIVERED' ? there - held : 0
    const recalled = Math.max(0, Math.min(held, quantity - others))
    return recalled > 0 ? { lotId, quantity, recalled } : { lotId, quantity }
  })
}

async function arrival(context: FactContext, given: ArrivalInput, ending: Ending) {
  if (given.lots && given.quantity !== undefined)
    context.note(issue(context.path('quantity'), 'NOT_BOTH', 'the lots say how many: give one of the two'))
  const named = await findLine(context, given.orderLine)
  if (!named) return undefined
  const assumed = context.corrects ? undefined : await deliveryAssumed(context, named, given)
  const line = await lineById(context, named.id)
  const road = await onRoad(context, line.id)
  const found = await arriving(context, line, given, ending, road)
  const [first] = found?.lots ?? []
  if (!found || !first) return undefined
  const siteId = await siteOfLot(context, first.lotId, found.implied)
  const { tx, distributorId } = context
  context.dayAt(await tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: siteId } } }))
  const of = { orderLineId: line.id, accountId: line.order.accountId, siteId, typeId: line.pack.containerTypeId }
  return { line, siteId, of, lots: withRecalled(found.lots, ending, road), implied: found.implied, assumed }
}

/** The site of a lot; of one that an implied fill makes, the fill's. */
async function siteOfLot(context: FactContext, lotId: string, implied: readonly Meant[]): Promise<string> {
  const fill = implied.find(({ happened }) => happened.kind === 'FILLED' && happened.data.lotId === lotId)
  return fill?.siteId ?? (await knownOf(context, lotId)).siteId
}

function subjectsOf({ orderLineId, accountId }: { orderLineId: string; accountId: string }, list: Arriving['lots']) {
  return [
    { kind: 'ORDER_LINE' as const, id: orderLineId },
    { kind: 'ACCOUNT' as const, id: accountId },
    ...list.map(({ lotId }) => ({ kind: 'LOT' as const, id: lotId })),
  ]
}

export const delivered = factKind({
  shape: arrivalShape,
  mean: async (context, given) => {
    const found = await arrival(context, given, 'DELIVERED')
    if (!found) return undefined
    const { siteId, of, lots: arrived, line, implied } = found
    const quantity = arrived.reduce((sum, each) => sum + each.quantity - (each.recalled ?? 0), 0)
    const due = line.quantity - line.delivered - line.closedShort
    if (quantity > due)
      context.note(
        issue(context.path('quantity'), 'MORE_THAN_ORDERED', `${quantity} arrived of a line that wants ${due} still`),
      )
    return { ...arrivedMeans({ ...of, lots: arrived }), siteId, implied }
  },
})

/** A delivery of these lots. */
function arrivedMeans(data: FactData<'DELIVERED'>): Meant {
  const nothing = { carriedOut: [], warnings: [] }
  return {
    happened: { kind: 'DELIVERED', data },
    siteId: data.siteId,
    subjects: subjectsOf(data, data.lots),
    ...nothing,
  }
}

export const refused = factKind({
  shape: arrivalShape.extend({
    fit: z.boolean(),
    again: z.boolean(),
    why: z.string().min(1).max(500).optional(),
  }),
  mean: async (context, { fit, again, why, ...given }) => {
    const found = await arrival(context, given, 'REFUSED')
    if (!found) return undefined
    const { siteId, of, lots: back, implied, assumed } = found
    const happened: Meant['happened'] = { kind: 'REFUSED', data: { ...of, lots: back, fit, again, why } }
    // What was taken to have arrived and was not refused has arrived.
    const arrived = assumed?.kind === 'DELIVERED' ? without(assumed.data.lots, back) : []
    const rest = arrived.length > 0 ? [arrivedMeans({ ...of, lots: arrived })] : []
    const nothing = { carriedOut: [], warnings: [] }
    return { happened, siteId, subjects: subjectsOf(of, back), ...nothing, implied: [...implied, ...rest] }
  },
})

/** Lots without what of them came back. */
function without(list: Arriving['lots'], back: Arriving['lots']): { lotId: string; quantity: number }[] {
  const gone = new Map(back.map(({ lotId, quantity }) => [lotId, quantity]))
  return list.flatMap(({ lotId, quantity }) => {
    const left = quantity - (gone.get(lotId) ?? 0)
    return left > 0 ? [{ lotId, quantity: left }] : []
  })
}
