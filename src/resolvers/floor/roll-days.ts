// Days that are over: what was planned for them has happened as planned, or is due, or is planned anew. In a revision of its own,
// before anything else is done. The day of a site ends with its `dayEnds`: what was to be begun has been begun then, and nothing
// more is. What was to arrive and to be washed waits until the day is over everywhere.
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import type { CarriedOut } from '../../floor/carried-out.ts'
import { daysOver, plannedWork } from '../../floor/planned-day.ts'
import { addDays, dayNumber, type LocalDate, laterOf, type Plan } from '../../planner/documents/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { SiteClock } from '../access/authenticate.ts'
import type { Actor } from '../actor.ts'
import { assumeArrivals, assumeWashing, assumeWork, type Rolling, type SiteOfDay } from './assume-work.ts'
import { earliestToday, isRolled, lastEnded } from './days-over.ts'
import { planInForce, repairPlan } from './repair-plan.ts'
import { beginFacts } from './write-fact.ts'

/** After so many days without a fact that somebody has said, nothing more is assumed. */
const DAYS_WITHOUT_A_WORD = 7

/**
 * Rolls what is over at each site and at the distributor: assumable work that was planned for it is recorded as assumed, or as
 * due where its site says so; what can not have happened as planned is due, and planned anew. One repair follows. Where another
 * has rolled it meanwhile nothing is left to do.
 */
export async function rollDays(actor: Actor): Promise<void> {
  const { distributorId, snapshots } = actor
  const { result, revision, epoch } = await withDistributorLock(actor, distributorId, (locked) =>
    rollLocked(actor, locked),
  )
  if (result) snapshots?.keep({ ...result, revision, epoch })
}

/** What is to be rolled. */
interface Over {
  /** The day that is youngest, at the distributor or at a site. */
  today: LocalDate
  /** Days that are over everywhere, oldest first. */
  days: LocalDate[]
  /** By site the days whose work has been begun. */
  begun: ReadonlyMap<string, ReadonlySet<LocalDate>>
}

async function rollLocked(actor: Actor, locked: Locked): Promise<Snapshot | undefined> {
  const { tx, log, revision } = locked
  const { distributorId, clock } = actor
  const known = await readRolled(tx, distributorId)
  if (isRolled(clock, { ...known, timeZone: locked.timeZone })) return undefined
  const inForce = await planInForce(actor, locked, 'OF_ANY_DAY')
  const over = await noteRolled(actor, locked, known, inForce?.id)
  const days = [...new Set([...over.days, ...[...over.begun.values()].flatMap((own) => [...own])])].sort()
  const [first] = days
  if (first === undefined || !inForce) return undefined
  const problem =
    inForce.known?.problem ?? (await loadProblem(tx, distributorId, { today: first, at: 'BEFORE_SWEEP' })).problem
  const rolling: Rolling = {
    ...{ log, problem, plan: inForce.plan, done: [] },
    writing: await beginFacts(tx, distributorId, revision + 1, clock.now()),
    siteById: new Map(known.sites.map((site) => [site.id, site])),
  }
  const lastSaid = await lastSaidOn(locked, distributorId)
  for (const day of days)
    if (lastSaid === undefined || dayNumber(day) - dayNumber(lastSaid) <= DAYS_WITHOUT_A_WORD)
      await rollDay(rolling, day, over)
  log('DAYS_ROLLED', { type: 'Distributor', id: distributorId }, undefined, { through: days.at(-1) })
  const cause = { kind: 'DAYS_ROLLED', type: 'Distributor', id: distributorId }
  const done = [...rolling.done, ...overdue(rolling.plan, over.today)]
  // Containers are expected back by the day.
  const change = { ...rolling.writing.change, done, mayHelp: true, containersOut: true }
  const repaired = await repairPlan(actor, locked, inForce, change, cause)
  return repaired?.snapshot
}

/** How far days have been rolled. */
interface Rolled {
  /** Undefined: none has been, at the distributor. */
  rolledThrough: LocalDate | undefined
  /** By id. */
  sites: readonly (SiteOfDay & SiteClock)[]
}

async function readRolled(tx: TransactionClient, distributorId: string): Promise<Rolled> {
  const { rolledThrough } = await tx.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { rolledThrough: true },
  })
  const sites = await tx.site.findMany({ where: { distributorId }, orderBy: { id: 'asc' } })
  return {
    rolledThrough: rolledThrough ? dayOf(rolledThrough) : undefined,
    sites: sites.map(({ endedThrough, ...site }) => ({
      ...site,
      endedThrough: endedThrough ? dayOf(endedThrough) : null,
    })),
  }
}

/** Finds what is to be rolled, and notes that it has been. */
async function noteRolled(
  { distributorId, clock }: Actor,
  { tx, timeZone }: Locked,
  { rolledThrough, sites }: Rolled,
  planId: string | undefined,
): Promise<Over> {
  const plan = planId
    ? await tx.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: planId } } })
    : undefined
  const today = earliestToday(clock, timeZone, sites)
  const through = rolledThrough ?? addDays(plan ? dayOf(plan.today) : today, -1)
  // Clocks differ: a server whose day is yet to end takes nothing back that another one has rolled.
  const rolled = laterOf(through, addDays(today, -1))
  await tx.distributor.update({ where: { id: distributorId }, data: { rolledThrough: dateOf(rolled) } })
  const begun = new Map<string, Set<LocalDate>>()
  for (const site of sites) {
    const before = site.endedThrough ?? through
    const ended = laterOf(before, lastEnded(clock, timeZone, site))
    begun.set(site.id, new Set(daysOver(before, addDays(ended, 1))))
    const data = { endedThrough: dateOf(ended) }
    await tx.site.update({ where: { distributorId_id: { distributorId, id: site.id } }, data })
  }
  return { today, days: daysOver(through, today), begun }
}

/** The last day on which a person said something, as recorded; undefined where no fact was ever said. */
async function lastSaidOn({ tx }: Locked, distributorId: string): Promise<LocalDate | undefined> {
  const last = await tx.fact.findFirst({
    where: { distributorId, assumed: false },
    orderBy: { number: 'desc' },
    select: { recordedAt: true },
  })
  return last ? dayOf(last.recordedAt) : undefined
}

/** Records what was planned for a day, as far as it is over. */
async function rollDay(rolling: Rolling, day: LocalDate, { days, begun }: Over): Promise<void> {
  for (const work of plannedWork(rolling.problem, rolling.plan, day))
    if (begun.get(work.siteId)?.has(day)) await assumeWork(rolling, work, day)
  if (!days.includes(day)) return
  await assumeArrivals(rolling, day)
  await assumeWashing(rolling, day)
}

/** Decisions of days that are over and that did not happen: they are planned no more. */
function overdue(plan: Plan, today: LocalDate): CarriedOut[] {
  const drop = (decision: 'BREW' | 'TRANSFER' | 'FILL_RUN', list: readonly { id: string; on: LocalDate }[]) =>
    list.filter(({ on }) => on < today).map(({ id }): CarriedOut => ({ kind: 'DROP', decision, id }))
  return [
    ...drop(
      'BREW',
      plan.brews.map(({ id, brewOn: on }) => ({ id, on })),
    ),
    ...drop('TRANSFER', plan.transfers),
    ...drop('FILL_RUN', plan.fillRuns),
  ]
}
