// Days that are over: what was planned for them has happened as planned, or is due, or is planned anew. In a revision of its own,
// before anything else is done on the new day.
import { type Clock, todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { type CarriedOut, planAfter } from '../../floor/carried-out.ts'
import { daysOver, type PlannedWork, plannedWork } from '../../floor/planned-day.ts'
import { addDays, dayNumber, type LocalDate, laterOf, type Plan, type Problem } from '../../planner/documents/index.ts'
import { EFFECTIVE } from '../../records/fact-rows.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { DistributorNow } from '../access/authenticate.ts'
import type { Actor } from '../actor.ts'
import { encodeGlobalId } from '../global-id.ts'
import { References } from '../thing-ref.ts'
import type { Meant } from './fact-kind.ts'
import { FACT_INPUTS, type FactInputKey } from './kinds.ts'
import { planInForce, repairPlan } from './repair-plan.ts'
import { beginFacts, type FactWriting, writeFact } from './write-fact.ts'

/** After so many days without a fact that somebody has said, nothing more is assumed. */
const DAYS_WITHOUT_A_WORD = 7

/** Who says what is assumed. */
const SAID_BY = 'the plan'

/** What rolling needs to know of a site. */
interface SiteOfDay {
  id: string
  timeZone: string
  unsaidWork: 'ASSUMED' | 'DUE_UNTIL_SAID'
}

/** Whether all days that are over have been rolled, by what a request found. The lock is not taken. */
export function isRolled(clock: Clock, { rolledThrough, timeZone, siteZones }: DistributorNow): boolean {
  return rolledThrough !== undefined && rolledThrough >= addDays(earliestToday(clock, timeZone, siteZones), -1)
}

/** Today where the day is youngest, at the distributor or at a site: every day before it is over everywhere. */
function earliestToday(clock: Clock, timeZone: string, siteZones: readonly string[]): LocalDate {
  return siteZones.map((zone) => todayIn(clock, zone)).reduce(earlierOf, todayIn(clock, timeZone))
}

const earlierOf = (a: LocalDate, b: LocalDate): LocalDate => (laterOf(a, b) === a ? b : a)

/**
 * Rolls the days that are over at all sites and at the distributor: assumable work that was planned for them is recorded as
 * assumed, or as due where its site says so; what can not have happened as planned is planned anew. One repair follows.
 */
export async function rollDays(actor: Actor): Promise<void> {
  const { distributorId, snapshots } = actor
  const { result, revision } = await withDistributorLock(actor, distributorId, (locked) => rollLocked(actor, locked))
  if (result) snapshots?.keep({ ...result, revision })
}

async function rollLocked(actor: Actor, locked: Locked): Promise<Snapshot | undefined> {
  const { tx, log, timeZone, revision } = locked
  const { distributorId, clock } = actor
  const where = { id: distributorId }
  const { rolledThrough } = await tx.distributor.findUniqueOrThrow({ where, select: { rolledThrough: true } })
  const sites = await tx.site.findMany({ where: { distributorId }, orderBy: { id: 'asc' } })
  const zones = sites.map((site) => site.timeZone)
  const today = earliestToday(clock, timeZone, zones)
  const inForce = await planInForce(actor, locked)
  const planned = inForce ? await tx.plan.findUniqueOrThrow({ where: whereOf(distributorId, inForce.id) }) : undefined
  const through = rolledThrough ? dayOf(rolledThrough) : planned ? addDays(dayOf(planned.today), -1) : undefined
  const days = daysOver(through ?? addDays(today, -1), today)
  await tx.distributor.update({ where, data: { rolledThrough: dateOf(addDays(today, -1)) } })
  if (days.length === 0 || !inForce) return undefined
  const { problem } = await loadProblem(tx, distributorId, { today: days[0] ?? today, at: 'BEFORE_SWEEP' })
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const lastSaid = await lastSaidOn(locked, distributorId)
  const rolling: Rolling = { writing, problem, sites, lastSaid, plan: inForce.plan, done: [] }
  for (const day of days) await rollDay(rolling, day)
  log('DAYS_ROLLED', { type: 'Distributor', id: distributorId }, { through }, { through: addDays(today, -1) })
  const cause = { kind: 'DAYS_ROLLED', type: 'Distributor', id: distributorId }
  const done = [...rolling.done, ...overdue(rolling.plan, today)]
  const repaired = await repairPlan(actor, locked, inForce, { ...writing.change, done, mayHelp: true }, cause)
  return repaired?.snapshot
}

const whereOf = (distributorId: string, id: string) => ({ distributorId_id: { distributorId, id } })

/** The last day on which a person said something, as recorded; undefined where no fact was ever said. */
async function lastSaidOn({ tx }: Locked, distributorId: string): Promise<LocalDate | undefined> {
  const last = await tx.fact.findFirst({
    where: { distributorId, assumed: false },
    orderBy: { number: 'desc' },
    select: { recordedAt: true },
  })
  return last ? dayOf(last.recordedAt) : undefined
}

interface Rolling {
  writing: FactWriting
  problem: Problem
  sites: readonly SiteOfDay[]
  lastSaid: LocalDate | undefined
  /** What was recorded so far, oldest first, and the plan in force after it. */
  done: CarriedOut[]
  plan: Plan
}

/** Records what was planned for a day, as far as it can have happened. */
async function rollDay(rolling: Rolling, day: LocalDate): Promise<void> {
  const { sites, lastSaid, problem } = rolling
  if (lastSaid !== undefined && dayNumber(day) - dayNumber(lastSaid) > DAYS_WITHOUT_A_WORD) return
  const siteById = new Map(sites.map((site) => [site.id, site]))
  for (const work of plannedWork(problem, rolling.plan, day)) {
    const site = siteById.get(work.siteId)
    if (site) await assume(rolling, site, work, day)
  }
  await assumeArrivals(rolling, siteById, day)
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

async function assume(rolling: Rolling, site: SiteOfDay, work: PlannedWork, day: LocalDate): Promise<void> {
  const [key, input] = inputOf(work)
  const meant = await meantOn(rolling, key, input, rolling.plan, day)
  // What can not have happened as planned is recorded by no fact: the plan has it no more.
  if (meant && (await canHaveHappened(rolling, work, day))) await record(rolling, site, meant, day)
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
    ...{ tx, distributorId, refs, plan },
    path: (field) => field,
    dayAt: () => day,
    note: (...issues) => refs.note(...issues),
  })
  return refs.isClean ? meant : undefined
}

async function record(rolling: Rolling, { unsaidWork }: SiteOfDay, meant: Meant, day: LocalDate): Promise<void> {
  for (const each of [...(meant.implied ?? []), meant]) {
    const said = { on: day, contentHash: '', saidBy: SAID_BY, assumed: true, due: unsaidWork === 'DUE_UNTIL_SAID' }
    await writeFact(rolling.writing, each, said)
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
      const own = plan.deliveries.filter(({ orderLineId }) => orderLineId === work.orderLineId)
      return { lotIds: own.flatMap(({ from }) => from.flatMap(({ stockLotId }) => stockLotId ?? [])) }
    }
  }
}

/** Whether batch, vessel and lots were as the work needs them on its day. */
async function canHaveHappened(
  { writing: { tx, distributorId }, plan }: Rolling,
  work: PlannedWork,
  day: LocalDate,
): Promise<boolean> {
  const { batchId, vesselId, lotIds = [] } = needsOf(work, plan)
  if (lotIds.length > 0) {
    const lots = { distributorId, id: { in: lotIds }, quarantined: true }
    if ((await tx.stockLot.count({ where: lots })) > 0) return false
  }
  if (vesselId !== undefined) {
    const on = dateOf(day)
    const out = { distributorId, vesselId, from: { lte: on }, to: { gte: on } }
    if ((await tx.vesselOutage.count({ where: out })) > 0) return false
  }
  if (batchId === undefined) return true
  const batch = await tx.batch.findUnique({ where: whereOf(distributorId, batchId) })
  return batch !== null && !batch.quarantined && batch.emptiedOn === null && batch.readyAt < dateOf(addDays(day, 1))
}

/** What was on the road and was to arrive on the day has arrived. */
async function assumeArrivals(
  rolling: Rolling,
  siteById: ReadonlyMap<string, SiteOfDay>,
  day: LocalDate,
): Promise<void> {
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
    const site = siteById.get(siteId)
    if (!site || seen.has(lineId) || addDays(dayOf(on), transits.get(routeId) ?? 0) !== day) continue
    seen.add(lineId)
    const input = { orderLine: { id: encodeGlobalId('OrderLine', lineId) } }
    const meant = await meantOn(rolling, 'delivered', input, undefined, day)
    if (meant) await record(rolling, site, meant, day)
  }
}

/** Decisions of days that are over and that did not happen: they are planned no more. */
function overdue(plan: Plan, today: LocalDate): CarriedOut[] {
  const drop = (decision: 'BREW' | 'TRANSFER' | 'FILL_RUN', ids: readonly { id: string }[]): CarriedOut[] =>
    ids.map(({ id }) => ({ kind: 'DROP', decision, id }))
  return [
    ...drop(
      'BREW',
      plan.brews.filter(({ brewOn }) => brewOn < today),
    ),
    ...drop(
      'TRANSFER',
      plan.transfers.filter(({ on }) => on < today),
    ),
    ...drop(
      'FILL_RUN',
      plan.fillRuns.filter(({ on }) => on < today),
    ),
  ]
}
