// Planned work of a day that is over: it is recorded as it was planned, or as not done where it can not have happened so.
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { Log } from '../../database/distributor-lock.ts'
import { type CarriedOut, planAfter } from '../../floor/carried-out.ts'
import { stillThere } from '../../floor/containers/first-in-first-out.ts'
import { dueWashing } from '../../floor/containers/washing.ts'
import { nextDelivery, type PlannedWork } from '../../floor/planned-day.ts'
import { addDays, type LocalDate, type Plan, type Problem } from '../../planner/documents/index.ts'
import { readContainers } from '../../records/containers.ts'
import { EFFECTIVE } from '../../records/fact-rows.ts'
import { encodeGlobalId } from '../global-id.ts'
import { References } from '../thing-ref.ts'
import type { Meant } from './fact-kind.ts'
import { onRoad } from './kinds/on-road.ts'
import { FACT_INPUTS, type FactInputKey } from './kinds.ts'
import { notDone } from './not-done.ts'
import { dueBefore } from './said-before.ts'
import { type FactWriting, writeFact } from './write-fact.ts'

/** Who says what is assumed. */
const SAID_BY = 'the plan'

/** What assuming needs to know of a site. */
export interface SiteOfDay {
  id: string
  unsaidWork: 'ASSUMED' | 'DUE_UNTIL_SAID'
}

/** Days being rolled. */
export interface Rolling {
  writing: FactWriting
  log: Log
  /** For what is where: nothing of it that facts change is read. */
  problem: Problem
  siteById: ReadonlyMap<string, SiteOfDay>
  /** What was recorded so far, oldest first, and the plan in force after it. */
  done: CarriedOut[]
  plan: Plan
}

/** Records planned work as it was planned; where it can not have happened so, that it was not done, and is due. */
export async function assumeWork(rolling: Rolling, work: PlannedWork, day: LocalDate): Promise<void> {
  const site = rolling.siteById.get(work.siteId)
  if (!site || !(await isWanted(rolling, work))) return
  const obstacle = await obstacleOf(rolling, work, day)
  const [key, input] = inputOf(work)
  const meant = obstacle === undefined ? await meantOn(rolling, key, input, rolling.plan, day) : undefined
  if (meant && isAsPlanned(rolling.plan, work, meant)) return record(rolling, site, meant, day)
  await record(rolling, site, notDone(work, rolling.plan, obstacle ?? 'What it needs was not there.'), day)
}

/** Whether it is work at all: for a reservation, which no one has ordered, nothing is sent. */
async function isWanted({ writing: { tx, distributorId } }: Rolling, work: PlannedWork): Promise<boolean> {
  if (work.kind !== 'DISPATCH') return true
  return (await tx.orderLine.count({ where: { distributorId, id: work.orderLineId, status: 'OPEN' } })) > 0
}

/** The input that says planned work as it was planned. */
function inputOf(work: PlannedWork): [FactInputKey, object] {
  switch (work.kind) {
    case 'BREW':
      return ['brewed', { brew: work.id }]
    case 'TRANSFER':
      return ['transferred', { transfer: work.id, batch: { id: encodeGlobalId('Batch', work.batchId) } }]
    case 'FILL_RUN':
      return ['filled', { fillRun: work.id, quantity: work.quantity }]
    case 'DISPATCH':
      return ['dispatched', { orderLine: { id: encodeGlobalId('OrderLine', work.orderLineId) } }]
  }
}

/** Whether all that a dispatch was to take is there to be taken; other work is either there or not. */
function isAsPlanned(plan: Plan, work: PlannedWork, { happened }: Meant): boolean {
  if (work.kind !== 'DISPATCH' || happened.kind !== 'DISPATCHED') return true
  const count = (list: readonly { quantity: number }[]) => list.reduce((sum, { quantity }) => sum + quantity, 0)
  return count(happened.data.lots) === count(nextDelivery(plan, work.orderLineId)?.from ?? [])
}

/** What an input means on a day; undefined where something is wrong with it. */
async function meantOn(
  { writing: { tx, distributorId } }: Rolling,
  key: FactInputKey,
  input: object,
  plan: Plan | undefined,
  day: LocalDate,
): Promise<Meant | undefined> {
  const refs = new References(tx, distributorId)
  const { reading, mean } = FACT_INPUTS[key].read(input)
  refs.take(reading)
  const meant = await mean({
    ...{ tx, distributorId, refs, plan, isAssumed: true },
    path: (field) => field,
    dayAt: () => day,
    note: (...issues) => refs.note(...issues),
    takeAssumed: async () => undefined,
  })
  return refs.isClean ? meant : undefined
}

async function record(rolling: Rolling, { unsaidWork }: SiteOfDay, meant: Meant, day: LocalDate): Promise<void> {
  const { writing, log } = rolling
  for (const each of [...(meant.implied ?? []), meant]) {
    const { kind } = each.happened
    const due = unsaidWork === 'DUE_UNTIL_SAID' || kind === 'NOT_DONE'
    const said = { on: day, contentHash: '', saidBy: SAID_BY, assumed: true, due }
    const id = await writeFact(writing, each, { ...said, replaces: await dueBefore(writing, each) })
    log('FACT_RECORDED', { type: 'Fact', id }, undefined, { kind, on: day, siteId: each.siteId, assumed: true })
    rolling.done.push(...each.carriedOut)
    rolling.plan = planAfter(rolling.plan, each.carriedOut, rolling.problem.orderLines)
  }
}

/** What planned work needs to be ready, in service and not kept back. */
interface Needs {
  batchId?: string | undefined
  /** The vessel that beer was to come into. */
  vesselId?: string | undefined
  lotIds?: string[]
}

function needsOf(work: PlannedWork, plan: Plan): Needs {
  switch (work.kind) {
    case 'BREW':
      return { vesselId: plan.brews.find(({ id }) => id === work.id)?.vesselId }
    case 'FILL_RUN':
      return { batchId: plan.fillRuns.find(({ id }) => id === work.id)?.batchId }
    case 'TRANSFER':
      return { batchId: work.batchId, vesselId: plan.transfers.find(({ id }) => id === work.id)?.toVesselId }
    case 'DISPATCH': {
      const { from = [] } = nextDelivery(plan, work.orderLineId) ?? {}
      return { lotIds: from.flatMap(({ stockLotId }) => stockLotId ?? []) }
    }
  }
}

/** Why batch, vessel or lots were not as the work needs them on its day; undefined where they were. */
async function obstacleOf(
  { writing: { tx, distributorId }, plan }: Rolling,
  work: PlannedWork,
  day: LocalDate,
): Promise<string | undefined> {
  const { batchId, vesselId, lotIds = [] } = needsOf(work, plan)
  if (lotIds.length > 0) {
    const lots = { distributorId, id: { in: lotIds }, quarantined: true }
    if ((await tx.stockLot.count({ where: lots })) > 0) return 'A lot that it was to take was kept back.'
  }
  if (vesselId !== undefined) {
    const on = dateOf(day)
    const out = { distributorId, vesselId, from: { lte: on }, to: { gte: on } }
    if ((await tx.vesselOutage.count({ where: out })) > 0) return 'The vessel was out of service.'
  }
  if (batchId === undefined) return undefined
  const batch = await tx.batch.findUnique({ where: { distributorId_id: { distributorId, id: batchId } } })
  if (batch === null) return 'The batch had not been brewed.'
  if (batch.quarantined) return 'The batch was kept back.'
  if (batch.emptiedOn !== null) return 'The batch was gone.'
  return batch.readyAt < dateOf(addDays(day, 1)) ? undefined : 'The beer was not ready.'
}

/** What was on the road and was to arrive on the day has arrived; what is kept back or was called back is held on the road. */
export async function assumeArrivals(rolling: Rolling, day: LocalDate): Promise<void> {
  const { tx, distributorId } = rolling.writing
  // What left before the longest transit has arrived before.
  const transits = new Map(rolling.problem.routes.map(({ id, transitDays }) => [id, transitDays]))
  const first = addDays(day, -Math.max(0, ...transits.values()))
  const dispatches = await tx.fact.findMany({
    where: { distributorId, ...EFFECTIVE, kind: 'DISPATCHED', on: { gte: dateOf(first), lte: dateOf(day) } },
    orderBy: { number: 'desc' },
    include: { subjects: true },
  })
  const seen = new Set<string>()
  for (const { siteId, on, subjects } of dispatches) {
    const lineId = subjects.find(({ kind }) => kind === 'ORDER_LINE')?.subjectId ?? ''
    const routeId = subjects.find(({ kind }) => kind === 'ROUTE')?.subjectId ?? ''
    const site = rolling.siteById.get(siteId)
    if (!site || seen.has(lineId) || addDays(dayOf(on), transits.get(routeId) ?? 0) !== day) continue
    seen.add(lineId)
    const lots = await coming(rolling, lineId)
    if (lots.length === 0) continue
    const input = { orderLine: { id: encodeGlobalId('OrderLine', lineId) }, lots }
    const meant = await meantOn(rolling, 'delivered', input, undefined, day)
    if (meant) await record(rolling, site, meant, day)
  }
}

/** The lots on the road for a line that nothing holds there, as an input names them. */
async function coming({ writing: { tx, distributorId } }: Rolling, lineId: string) {
  const road = await onRoad({ tx, distributorId }, lineId)
  const keptBack = await tx.stockLot.findMany({
    where: { distributorId, id: { in: road.map(({ lotId }) => lotId) }, quarantined: true },
    select: { id: true },
  })
  const held = new Set(keptBack.map(({ id }) => id))
  return road.flatMap(({ lotId, quantity, held: calledBack }) =>
    held.has(lotId) || quantity === calledBack
      ? []
      : [{ lot: { id: encodeGlobalId('StockLot', lotId) }, quantity: quantity - calledBack }],
  )
}

/** Containers that were to be clean by the next morning have been washed. */
export async function assumeWashing(rolling: Rolling, day: LocalDate): Promise<void> {
  const { tx, distributorId } = rolling.writing
  const fleets = rolling.problem.fleets.map(({ siteId, containerTypeId: typeId, washDays }) => ({
    ...{ siteId, typeId, washDays },
  }))
  const { dirty } = await readContainers(tx, distributorId, { today: day, fleets, accounts: [] })
  for (const { siteId, typeId, held, arrived } of dirty) {
    const site = rolling.siteById.get(siteId)
    const fleet = fleets.find((each) => each.siteId === siteId && each.typeId === typeId)
    const quantity = dueWashing(stillThere(held, arrived), fleet?.washDays ?? 0, day)
    if (!site || quantity === 0) continue
    const input = {
      site: { id: encodeGlobalId('Site', siteId) },
      containerType: { id: encodeGlobalId('ContainerType', typeId) },
      quantity,
    }
    const meant = await meantOn(rolling, 'washed', input, undefined, day)
    if (meant) await record(rolling, site, meant, day)
  }
}
