// A draft comes into force: under the lock, brought up to the records where they have moved on since it was begun.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotFound, type Obstacle } from '../../errors.ts'
import { costsShape } from '../../planner/problem.ts'
import { changePlan } from '../../records/change-plan.ts'
import { loadPlan } from '../../records/load-plan.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { noteRisks } from '../orders/note-risks.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { sweepLapsed } from '../reservations/sweep.ts'
import type { Written } from '../setup/noun.ts'
import { bringUp } from './bring-up.ts'
import { changesSince } from './changes-since.ts'
import { eventWords } from './event-words.ts'
import { inNames } from './in-names.ts'
import { NamesOf } from './names.ts'
import { globalId, planIdOf } from './plan-ref.ts'
import { readWithout } from './without.ts'

const shape = z.strictObject({ id: globalId })

/** Most changes and obstacles that a refusal's message tells; more of them are data. */
const MOST_TOLD = 10
const MOST_OBSTACLES = 100

/**
 * Puts a draft in force. Orders that came in since it was begun are placed into it. Throws `NotFound`, and `Conflict` where
 * it is no draft, or where what changed since leaves it worse than it was or invalid: with what changed, and what of it is in the way.
 */
export async function adoptPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  const given = parseInput(shape, input)
  const { distributorId, clock } = actor
  const id = planIdOf(given.id)
  const { revision } = await withDistributorLock(actor, distributorId, async ({ tx, log, revision, timeZone }) => {
    const where = { distributorId_id: { distributorId, id } }
    const row = await tx.plan.findUnique({ where })
    if (!row) throw new NotFound('Plan', given.id)
    if (row.status !== 'DRAFT') throw new Conflict('STATUS_FORBIDS', `The plan is ${words(row.status)}, not a draft.`)
    const today = todayIn(clock, timeZone)
    const at = clock.now()
    const before = await actor.snapshots.locked(tx, distributorId, revision, today)
    const swept = before !== (await sweepLapsed(tx, log, before, at))
    let { costTotal } = row
    // A draft that was made without something was judged for a problem that is not that of the records.
    const isLess = readWithout(row.without).length > 0
    if (row.fromRevision !== revision || dayOf(row.today) !== today || swept || isLess) {
      const { frozenDays, fromRevision } = row
      const costs = costsShape.parse(row.costs)
      const { problem } = await loadProblem(tx, distributorId, { today, at, frozenDays, costs })
      const draft = await loadPlan(tx, distributorId, id)
      const since = await changesSince(tx, distributorId, fromRevision)
      const { plan, obstacles: found } = bringUp(problem, draft, since.orderIds)
      const names = new NamesOf(tx, distributorId)
      const obstacles: Obstacle[] = []
      for (const each of found.slice(0, MOST_OBSTACLES))
        obstacles.push({ ...each, message: await inNames(each, ({ kind, id }) => names.find(kind, id)) })
      if (obstacles.length > 0)
        throw new Conflict(
          'REVISION_MOVED',
          [
            dayOf(row.today) === today ? '' : `The draft was begun on ${dayOf(row.today)}.`,
            `Since revision ${fromRevision}: ${told(eventWords(since.changes), ', ') || 'no change'}.`,
            told(
              obstacles.map(({ message }) => message),
              ' ',
            ),
          ]
            .filter((part) => part !== '')
            .join(' '),
          since.changes,
          obstacles,
        )
      await changePlan(tx, distributorId, id, draft, plan)
      await tx.plan.update({ where, data: { today: dateOf(today), horizonDays: problem.horizonDays } })
      costTotal = plan.cost.total
    }
    const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' } })
    if (inForce)
      await tx.plan.update({
        where: { distributorId_id: { distributorId, id: inForce.id } },
        data: { status: 'PAST', replacedAt: at },
      })
    await tx.plan.update({ where, data: { status: 'IN_FORCE', adoptedAt: at } })
    const replaced = inForce ? { id: inForce.id, status: 'IN_FORCE', costTotal: inForce.costTotal } : undefined
    log('PLAN_ADOPTED', { type: 'Plan', id }, replaced, { id, status: 'IN_FORCE', costTotal })
    const { problem } = await loadProblem(tx, distributorId, { today, at })
    const earlier = [before.inForce?.plan, before.inForce?.held().plan]
    if (problem.baseline) {
      const plans = { distributorId, problem, before: earlier, after: problem.baseline }
      await noteRisks(tx, log, plans, { kind: 'PLAN_ADOPTED', type: 'Plan', id })
    }
  })
  return { id, revision }
}

function told(list: readonly string[], separator: string): string {
  const more = list.length > MOST_TOLD ? [`and ${list.length - MOST_TOLD} more`] : []
  return [...list.slice(0, MOST_TOLD), ...more].join(separator)
}

function words(status: string): string {
  return status.toLowerCase().replace('_', ' ')
}
