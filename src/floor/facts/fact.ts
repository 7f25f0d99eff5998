// What can have happened: one shape for each kind of fact, as it is stored. Ids are those of the records; volumes are whole
// millilitres; what the set-up said when it happened (nominal volume, losses) is part of the fact, so that a later change of
// the set-up does not change what happened.
import { z } from 'zod'
import { type LocalDate, localDate } from '../../planner/documents/index.ts'

const id = z.string().min(1)
const millilitres = z.int().min(0)
const count = z.int().min(0)
const some = z.int().min(1)
const share = z.strictObject({ lotId: id, quantity: some })
/** What came off the road; `recalled` of it had been called back before. */
const arrived = share.extend({ recalled: count.optional() })
const fleet = { siteId: id, typeId: id }

/** What a container of a lot holds. */
const container = { nominalMl: millilitres, overfillMl: millilitres }

/** An ingredient lot that went into a brew, in the brewer's own words. */
const ingredient = z.strictObject({ name: z.string(), lot: z.string(), amount: z.string().optional() })

/** A batch as it begins: where it is, and when its crash is expected to end. */
const start = z.strictObject({
  vesselId: id,
  readyAt: z.iso.datetime(),
  transferredOn: localDate.optional(),
  openedOn: localDate.optional(),
  emptiedOn: localDate.optional(),
  primable: z.boolean(),
  quarantined: z.boolean(),
})

/** The shape of one kind: its name, and its own data. */
function of<const Kind extends string, Data extends z.ZodRawShape>(kind: Kind, data: Data) {
  return z.strictObject({ kind: z.literal(kind), data: z.strictObject(data) })
}

/** Everything that can have happened. */
export const happenedShape = z.discriminatedUnion('kind', [
  // Set-up: what was there when the records began.
  of('BATCH_OPENING', { batchId: id, ml: millilitres, start }),
  of('LOT_OPENING', { lotId: id, ...fleet, quantity: count, nominalMl: millilitres }),
  of('FLEET_OPENING', { ...fleet, quantity: count }),

  // Beer.
  of('BREWED', {
    ...{ batchId: id, beerId: id, vesselId: id, ml: some, trubMl: millilitres, start },
    originalGravity: z.number().optional(),
    abv: z.number().optional(),
    ingredients: z.array(ingredient).default([]),
  }),
  of('READING', {
    batchId: id,
    gravity: z.number().optional(),
    celsius: z.number().optional(),
    bar: z.number().optional(),
    co2Volumes: z.number().optional(),
  }),
  of('DRY_HOPPED', { batchId: id }),
  of('CRASH_BEGUN', { batchId: id }),
  of('READY', { batchId: id }),
  of('TRANSFERRED', { batchId: id, fromVesselId: id, toVesselId: id, ml: millilitres.optional() }),
  of('PART_TRANSFERRED', { batchId: id, newBatchId: id, toVesselId: id, ml: some, emptied: z.boolean(), start }),
  of('BLENDED', {
    newBatchId: id,
    toVesselId: id,
    start,
    parents: z.array(z.strictObject({ batchId: id, ml: some, emptied: z.boolean() })).min(2),
  }),
  of('MOVED', { batchId: id, fromVesselId: id, toVesselId: id, ml: millilitres.optional() }),
  of('DUMPED', { batchId: id, ml: millilitres.optional(), all: z.boolean(), from: z.enum(['FERMENTER', 'BRIGHT']) }),
  of('QUARANTINED', { batchId: id, why: z.string().optional() }),
  of('RELEASED', { batchId: id }),

  // Containers with beer in them.
  of('FILLED', {
    ...{ batchId: id, packId: id, lotId: id, ...fleet, fillerId: id.optional(), quantity: count, ...container },
    spoiled: count,
    setUpMl: millilitres,
    lostMl: millilitres,
    emptied: z.boolean(),
    from: z.enum(['FERMENTER', 'BRIGHT']),
    quarantined: z.boolean(),
    /** More of the planned run is to be filled. */
    more: z.boolean().default(false),
  }),
  of('LOT_QUARANTINED', { lotId: id, why: z.string().optional() }),
  of('LOT_RELEASED', { lotId: id }),
  of('LOT_DESTROYED', { lotId: id, ...fleet, quantity: some, nominalMl: millilitres, keepsContainers: z.boolean() }),
  of('ISSUED', {
    ...{ lotId: id, ...fleet, quantity: some },
    to: z.enum(['OWN_BAR', 'SAMPLE', 'BREAKAGE']),
  }),

  // Travel.
  of('DISPATCHED', {
    ...{ orderLineId: id, accountId: id, routeId: id, ...fleet, lots: z.array(share).min(1) },
    serveOn: localDate,
    short: count,
  }),
  of('DELIVERED', { orderLineId: id, accountId: id, ...fleet, lots: z.array(arrived).min(1) }),
  of('REFUSED', {
    ...{ orderLineId: id, accountId: id, ...fleet, lots: z.array(arrived).min(1) },
    fit: z.boolean(),
    again: z.boolean(),
    why: z.string().optional(),
  }),
  of('RECALLED', {
    ...{ orderLineId: id, accountId: id },
    /** `onRoad` of them were on the road; the others had arrived. */
    lots: z.array(share.extend({ onRoad: count })).min(1),
    again: z.boolean(),
    why: z.string().optional(),
  }),

  // Empties.
  of('RETURNED', { accountId: id, ...fleet, quantity: some, unfit: count }),
  of('WASHED', { ...fleet, quantity: some }),
  of('BOUGHT', { ...fleet, quantity: some }),
  of('SCRAPPED', { ...fleet, quantity: some, from: z.enum(['CLEAN', 'DIRTY']) }),
  of('LOST', { ...fleet, quantity: some, accountId: id.optional() }),
  of('FOUND', { ...fleet, quantity: some, clean: z.boolean() }),
  of('FOREIGN', { siteId: id, quantity: some, owner: z.string(), accountId: id.optional() }),

  // Things.
  of('VESSEL_OUT', { vesselId: id, until: localDate.optional(), why: z.string().optional() }),
  of('VESSEL_BACK', { vesselId: id }),
  /** `emptiedOn`: the day on which the vessel had been emptied last, as it was known then. Absent: not known to have been. */
  of('VESSEL_CLEANED', { vesselId: id, emptiedOn: localDate.optional() }),
  of('BATCH_COUNTED', { batchId: id, ml: millilitres }),
  of('LOT_COUNTED', { lotId: id, ...fleet, quantity: count, nominalMl: millilitres }),
  of('FLEET_COUNTED', { ...fleet, quantity: count }),
  of('FILLING_ENDED', { siteId: id }),
  of('ROUTE_ENDED', { routeId: id }),

  // Planned work whose day is over and that can not have happened as planned.
  of('NOT_DONE', { decision: z.enum(['BREW', 'TRANSFER', 'FILL_RUN', 'DELIVERY']), decisionId: id, why: z.string() }),
])

export type Happened = z.output<typeof happenedShape>
export type FactKind = Happened['kind']
export type FactData<Kind extends FactKind> = Extract<Happened, { kind: Kind }>['data']

/** What every fact says, whatever its kind. */
export interface FactBase {
  id: string
  /** The site at which it happened; its clock and days count. */
  siteId: string
  /** The day on which it happened, in the site's zone. */
  day: LocalDate
  /** The instant, where one was said. */
  at?: string
  /** In the order of recording. */
  recorded: number
  /** It was assumed when its day was over, and not said by a person. */
  assumed: boolean
}

/** One thing that happened. */
export type Fact = FactBase & Happened
export type FactOf<Kind extends FactKind> = FactBase & Extract<Happened, { kind: Kind }>

/** Kinds that carry out what was planned or take something away: no plan can do more after them than before. */
const TAKES_AWAY: ReadonlySet<FactKind> = new Set([
  ...(['BREWED', 'READING', 'DRY_HOPPED', 'CRASH_BEGUN', 'TRANSFERRED', 'QUARANTINED', 'FILLED'] as const),
  ...(['LOT_QUARANTINED', 'LOT_DESTROYED', 'ISSUED', 'DISPATCHED', 'DELIVERED', 'SCRAPPED', 'LOST'] as const),
  ...(['RECALLED', 'VESSEL_OUT', 'FILLING_ENDED', 'ROUTE_ENDED'] as const),
])

/** Whether plans may be able to do more after a fact of this kind: a promise that was broken may be kept again. */
export function mayHelp(kind: FactKind): boolean {
  return !TAKES_AWAY.has(kind)
}

export const FACT_KINDS: readonly FactKind[] = happenedShape.options.map(({ shape }) => shape.kind.value)

export function isFactKind(kind: string): kind is FactKind {
  return FACT_KINDS.some((each) => each === kind)
}

/** A stored fact, parsed. Throws where its data is not of its kind. */
export function parseFact(base: FactBase, kind: string, data: unknown): Fact {
  return { ...base, ...happenedShape.parse({ kind, data }) }
}
