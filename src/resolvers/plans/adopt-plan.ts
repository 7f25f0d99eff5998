// A draft comes into force: under the lock, brought up to the records where they have moved on since it was begun.

import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotFound, type RecordChange } from '../../errors.ts'
import { draftAfter } from '../../floor/draft-after.ts'
import { costsShape, type LocalDate, type Plan, type Problem } from '../../planner/documents/index.ts'
import { changePlan } from '../../records/change-plan.ts'
import { loadPlan } from '../../records/load-plan.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { globalId } from '../global-id.ts'
import { noteRisks } from '../orders/note-risks.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { sweepLapsed } from '../reservations/sweep.ts'
import type { Written } from '../written.ts'
import { adoptionRefusal } from './adoption-refusal.ts'
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
import { factsSince } from './facts-since.ts'
import type { FoundObstacle } from './obstacle-words.ts'
import { planIdIn } from './plan-ref.ts'
import { putInForce } from './put-in-force.ts'
import { statusWords } from './status-words.ts'
import { readWithout } from './without.ts'

const shape = z.strictObject({ id: globalId, acceptBrokenPromises: acceptShape.optional() })

export interface Adopted extends Written {
  /** The promises that the plan before it kept and that it breaks, as the caller accepted. */
  brokenPromises: BrokenPromise[]
}

/**
 * Puts a draft in force. It loses what facts carried out since it was begun, and orders that came in are placed into it. Throws `InvalidInput`, `NotFound`, and
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
    const before = await actor.snapshots.locked(tx, distributorId, locked, today)
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
    if (all.length > 0)
      throw await adoptionRefusal(
        tx,
        { ...actor, fromRevision: row.fromRevision, begun: dayOf(row.today) },
        { ...upToDate, today, obstacles: all },
      )
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
  const left = draftAfter(draft, await factsSince(tx, distributorId, fromRevision), problem.orderLines)
  return { problem, changes, ...bringUp(problem, left, touched) }
}
