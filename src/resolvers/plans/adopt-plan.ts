// A draft comes into force: under the lock, brought up to the records where they have moved on since it was begun.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotFound, type Obstacle, type RecordChange } from '../../errors.ts'
import { costsShape, type LocalDate, type Plan, type Problem } from '../../planner/documents/index.ts'
import { changePlan } from '../../records/change-plan.ts'
import { loadPlan } from '../../records/load-plan.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { noteRisks } from '../orders/note-risks.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { sweepLapsed } from '../reservations/sweep.ts'
import type { Written } from '../written.ts'
import { bringUp } from './bring-up.ts'
import {
  acceptShape,
  asObstacles,
  type BrokenPromise,
  broughtForward,
  faultsOfAccepted,
  newlyBroken,
  notAccepted,
} from './broken-promises.ts'
import { changesSince } from './changes-since.ts'
import { eventWords } from './event-words.ts'
import { NamesOf } from './names.ts'
import { type FoundObstacle, obstacleInWords } from './obstacle-words.ts'
import { globalId, planIdIn } from './plan-ref.ts'
import { statusWords } from './status-words.ts'
import { readWithout } from './without.ts'

const shape = z.strictObject({ id: globalId, acceptBrokenPromises: acceptShape.optional() })

/** Most changes and obstacles in a refusal's message; the rest are only in its data. */
const MOST_TOLD = 10
const MOST_OBSTACLES = 100

export interface Adopted extends Written {
  /** The promises that the plan before it kept and that it breaks, as the caller accepted. */
  brokenPromises: BrokenPromise[]
}

/**
 * Puts a draft in force. Orders that came in since it was begun are placed into it. Throws `InvalidInput`, `NotFound`, and
 * `Conflict` where it is no draft, where what changed since leaves it worse than it was or invalid (with what changed, and
 * what of it is in the way), or where it breaks promises that the plan in force keeps and that the caller does not accept.
 */
export async function adoptPlan(actor: Actor & Pick<PlanningActor, 'snapshots'>, input: unknown): Promise<Adopted> {
  const reading = readInput(shape, input)
  const { id: text, acceptBrokenPromises } = reading.given
  const { distributorId, clock } = actor
  const id = planIdIn(text) ?? ''
  const { result, revision } = await withDistributorLock(actor, distributorId, async (locked) => {
    const { tx, log, revision, timeZone } = locked
    const row = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id } } })
    const faults = new Faults()
    faults.take(reading)
    faults.note(...(await faultsOfAccepted(tx, distributorId, acceptBrokenPromises)))
    if (!row) return faults.giveUp('id', new NotFound('Plan', text))
    if (row.status !== 'DRAFT')
      return faults.giveUp('id', new Conflict('STATUS_FORBIDS', `The plan is ${statusWords(row.status)}, not a draft.`))
    faults.settle()
    const today = todayIn(clock, timeZone)
    const at = clock.now()
    const before = await actor.snapshots.locked(tx, distributorId, revision, today)
    const after = await sweepLapsed(tx, log, before, at)
    const draft = await loadPlan(tx, distributorId, id)
    // A draft that was made without something was judged for a problem that is not that of the records.
    const isLess = readWithout(row.without).length > 0
    const moved = row.fromRevision !== revision || dayOf(row.today) !== today || after !== before || isLess
    const upToDate = moved ? await broughtUp(tx, row, draft, today, at) : unmoved(after.problem, draft)
    const { problem, plan, obstacles } = upToDate
    const { inForce } = after
    const broken = inForce ? newlyBroken(problem, inForce.held().plan, plan) : []
    const unwanted = notAccepted(broken, acceptBrokenPromises)
    const forward = inForce ? broughtForward(after.problem, [inForce.plan, inForce.held().plan], plan) : []
    const all = [...obstacles, ...forward, ...asObstacles(problem, unwanted)]
    if (all.length > 0) throw await refusal(tx, row, upToDate, today, all)
    if (moved) {
      await changePlan(tx, distributorId, id, draft, plan)
      const data = { today: dateOf(today), horizonDays: problem.horizonDays }
      await tx.plan.update({ where: { distributorId_id: { distributorId, id } }, data })
    }
    await putInForce(locked, row, { at, costTotal: plan.cost.total, broken })
    const { problem: since } = await loadProblem(tx, distributorId, { today, at })
    if (since.baseline) {
      const earlier = [before.inForce?.plan, before.inForce?.held().plan] as const
      const plans = { distributorId, problem: since, before: earlier, after: since.baseline }
      await noteRisks(tx, log, plans, { kind: 'PLAN_ADOPTED', type: 'Plan', id })
    }
    return broken
  })
  return { id, revision, brokenPromises: result }
}

type PlanRow = Prisma.PlanGetPayload<object>

/** A draft for the records as they are. */
interface UpToDate {
  problem: Problem
  plan: Plan
  /** What others have done since it was begun. */
  changes: RecordChange[]
  /** Why it must not come into force, other than broken promises. */
  obstacles: FoundObstacle[]
}

function unmoved(problem: Problem, plan: Plan): UpToDate {
  return { problem, plan, changes: [], obstacles: [] }
}

async function broughtUp(
  tx: TransactionClient,
  { distributorId, fromRevision, frozenDays, costs }: PlanRow,
  draft: Plan,
  today: LocalDate,
  at: Date,
): Promise<UpToDate> {
  const options = { today, at, frozenDays, costs: costsShape.parse(costs) }
  const { problem } = await loadProblem(tx, distributorId, options)
  const { changes, ...touched } = await changesSince(tx, distributorId, fromRevision)
  return { problem, changes, ...bringUp(problem, draft, touched) }
}

/** The refusal that says what is in the way: only broken promises can be accepted. */
async function refusal(
  tx: TransactionClient,
  { distributorId, fromRevision, today: begun }: PlanRow,
  { problem, changes }: UpToDate,
  today: LocalDate,
  found: readonly FoundObstacle[],
): Promise<Conflict> {
  const names = new NamesOf(tx, distributorId)
  const obstacles: Obstacle[] = []
  for (const each of found.slice(0, MOST_OBSTACLES))
    obstacles.push(await obstacleInWords(problem, each, ({ kind, id }) => names.find(kind, id)))
  const messages = obstacles.map(({ message }) => message)
  const said = listed(messages, ' ', found.length)
  if (found.every(({ kind }) => kind === 'PROMISE_BROKEN'))
    return new Conflict(
      'PROMISES_BROKEN',
      `The plan in force keeps ${found.length === 1 ? 'a promise' : `${found.length} promises`} that the draft breaks. ${said}`,
      changes,
      obstacles,
    )
  const message = [
    dayOf(begun) === today ? '' : `The draft was begun on ${dayOf(begun)}.`,
    `Since revision ${fromRevision}: ${listed(eventWords(changes), ', ') || 'no change'}.`,
    said,
  ]
  return new Conflict('REVISION_MOVED', message.filter((part) => part !== '').join(' '), changes, obstacles)
}

/** Writes that the draft is in force and the plan before it is past; the log has the promises that are broken. */
async function putInForce(
  { tx, log }: Locked,
  { distributorId, id }: PlanRow,
  { at, costTotal, broken }: { at: Date; costTotal: number; broken: readonly BrokenPromise[] },
): Promise<void> {
  const where = (id: string) => ({ distributorId_id: { distributorId, id } })
  const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' } })
  if (inForce) await tx.plan.update({ where: where(inForce.id), data: { status: 'PAST', replacedAt: at } })
  await tx.plan.update({ where: where(id), data: { status: 'IN_FORCE', adoptedAt: at } })
  const replaced = inForce ? { id: inForce.id, status: 'IN_FORCE', costTotal: inForce.costTotal } : undefined
  const brokenPromises = broken.map(({ orderLineId }) => orderLineId)
  const more = broken.length > 0 ? { brokenPromises } : {}
  log('PLAN_ADOPTED', { type: 'Plan', id }, replaced, { id, status: 'IN_FORCE', costTotal, ...more })
}

function listed(list: readonly string[], separator: string, count = list.length): string {
  const more = count > MOST_TOLD ? [`and ${count - MOST_TOLD} more`] : []
  return [...list.slice(0, MOST_TOLD), ...more].join(separator)
}
