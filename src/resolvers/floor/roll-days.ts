// Days that are over: what was planned for them has happened as planned, or is due, or is planned anew. In a revision of its own,
// before anything else is done on the new day.
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { type CarriedOut, planAfter } from '../../floor/carried-out.ts'
import { daysOver, type PlannedWork, plannedWork } from '../../floor/planned-day.ts'
import { addDays, dayNumber, type LocalDate, type Plan, type Problem } from '../../planner/documents/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Snapshot } from '../../records/snapshots.ts'
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

/** Whether days are over that have not been rolled. One look at the row; the lock is not taken. */
export function isRolled(rolledThrough: LocalDate | undefined, today: LocalDate): boolean {
  return rolledThrough !== undefined && rolledThrough >= addDays(today, -1)
}

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
  const zones = [timeZone, ...sites.map((site) => site.timeZone)]
  const [today = ''] = zones.map((zone) => todayIn(clock, zone)).sort()
  const inForce = await planInForce(tx, distributorId)
  const planned = inForce ? await tx.plan.findUniqueOrThrow({ where: whereOf(distributorId, inForce.id) }) : undefined
  const through = rolledThrough ? dayOf(rolledThrough) : planned ? addDays(dayOf(planned.today), -1) : undefined
  const days = daysOver(through ?? addDays(today, -1), today)
  await tx.distributor.update({ where, data: { rolledThrough: dateOf(addDays(today, -1)) } })
  if (days.length === 0 || !inForce) return undefined
  const { problem } = await loadProblem(tx, distributorId, { today: days[0] ?? today, at: 'BEFORE_SWEEP' })
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const rolling = { writing, problem, sites, lastSaid: await lastSaidOn(locked, distributorId) }
  const done: CarriedOut[] = []
  for (const day of days) await rollDay(rolling, inForce.plan, day, done)
  log('DAYS_ROLLED', { type: 'Distributor', id: distributorId }, { through }, { through: addDays(today, -1) })
  const cause = { kind: 'DAYS_ROLLED', type: 'Distributor', id: distributorId }
  const left = planAfter(inForce.plan, done, problem.orderLines)
  const repaired = await repairPlan(actor, locked, inForce, [...done, ...overdue(left, today)], cause)
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
}

/** Records what was planned for a day, as far as it can have happened. */
async function rollDay(rolling: Rolling, plan: Plan, day: LocalDate, done: CarriedOut[]): Promise<void> {
  const { sites, lastSaid, problem } = rolling
  if (lastSaid !== undefined && dayNumber(day) - dayNumber(lastSaid) > DAYS_WITHOUT_A_WORD) return
  const siteById = new Map(sites.map((site) => [site.id, site]))
  for (const work of plannedWork(problem, planAfter(plan, done, problem.orderLines), day)) {
    const site = siteById.get(work.siteId)
    if (site) await assume(rolling, site, planAfter(plan, done, problem.orderLines), work, day, done)
  }
  await assumeArrivals(rolling, siteById, day, done)
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

async function assume(
  rolling: Rolling,
  site: SiteOfDay,
  plan: Plan,
  work: PlannedWork,
  day: LocalDate,
  done: CarriedOut[],
): Promise<void> {
  const [key, input] = inputOf(work)
  const meant = await meantOn(rolling, key, input, plan, day)
  // What can not have happened as planned stays due: the plan has it no more, and people are asked.
  if (!meant || !(await canHaveHappened(rolling, work, plan, day))) return
  await record(rolling, site, meant, day, done)
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

async function record(
  { writing }: Rolling,
  { unsaidWork }: SiteOfDay,
  meant: Meant,
  day: LocalDate,
  done: CarriedOut[],
): Promise<void> {
  for (const each of [...(meant.implied ?? []), meant]) {
    const said = { on: day, contentHash: '', saidBy: SAID_BY, assumed: true, due: unsaidWork === 'DUE_UNTIL_SAID' }
    await writeFact(writing, each, said)
    done.push(...each.carriedOut)
  }
}

/** Whether beer, vessel and batch were as the work needs them: ready, in service, not kept back. */
async function canHaveHappened(
  { writing: { tx, distributorId } }: Rolling,
  work: PlannedWork,
  plan: Plan,
  day: LocalDate,
): Promise<boolean> {
  if (work.kind === 'DISPATCH') {
    const lots = plan.deliveries
      .filter(({ orderLineId }) => orderLineId === work.orderLineId)
      .flatMap(({ from }) => from.flatMap(({ stockLotId }) => stockLotId ?? []))
    const bad = await tx.stockLot.count({ where: { distributorId, id: { in: lots }, quarantined: true } })
    return bad === 0
  }
  const batchId =
    work.kind === 'FILL_RUN'
      ? plan.fillRuns.find(({ id }) => id === work.id)?.batchId
      : work.kind === 'TRANSFER'
        ? work.batchId
        : undefined
  const vesselId =
    work.kind === 'BREW'
      ? plan.brews.find(({ id }) => id === work.id)?.vesselId
      : work.kind === 'TRANSFER'
        ? plan.transfers.find(({ id }) => id === work.id)?.toVesselId
        : undefined
  if (vesselId !== undefined) {
    const on = dateOf(day)
    const out = await tx.vesselOutage.count({ where: { distributorId, vesselId, from: { lte: on }, to: { gte: on } } })
    if (out > 0) return false
  }
  if (batchId === undefined) return work.kind === 'BREW'
  const batch = await tx.batch.findUnique({ where: whereOf(distributorId, batchId) })
  return batch !== null && !batch.quarantined && batch.emptiedOn === null && batch.readyAt < dateOf(addDays(day, 1))
}

/** What was on the road and was to arrive on the day has arrived. */
async function assumeArrivals(
  rolling: Rolling,
  siteById: ReadonlyMap<string, SiteOfDay>,
  day: LocalDate,
  done: CarriedOut[],
): Promise<void> {
  const { tx, distributorId } = rolling.writing
  const dispatches = await tx.fact.findMany({
    where: { distributorId, kind: 'DISPATCHED', replacedById: null, withdraws: false, on: { lte: dateOf(day) } },
    orderBy: { number: 'desc' },
    take: 2_000,
    include: { subjects: true },
  })
  const seen = new Set<string>()
  for (const { siteId, on, subjects } of dispatches) {
    const lineId = subjects.find(({ kind }) => kind === 'ORDER_LINE')?.subjectId ?? ''
    const routeId = subjects.find(({ kind }) => kind === 'ROUTE')?.subjectId ?? ''
    const route = rolling.problem.routes.find(({ id }) => id === routeId)
    const site = siteById.get(siteId)
    if (!site || seen.has(lineId) || addDays(dayOf(on), route?.transitDays ?? 0) !== day) continue
    seen.add(lineId)
    const input = { orderLine: { id: encodeGlobalId('OrderLine', lineId) } }
    const meant = await meantOn(rolling, 'delivered', input, undefined, day)
    if (meant) await record(rolling, site, meant, day, done)
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
