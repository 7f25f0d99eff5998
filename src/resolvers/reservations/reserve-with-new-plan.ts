// A new plan that keeps what the plan in force could not promise comes into force, and the beer is reserved in it: one act.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { runBatchedStatement } from '../../database/batched-statement.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotPossible } from '../../errors.ts'
import { draftAfter } from '../../floor/draft-after.ts'
import type { LocalDate, OrderLine, Plan } from '../../planner/documents/index.ts'
import { type LoadedProblem, loadProblem } from '../../records/load-problem.ts'
import { saveSolved } from '../../records/save-plan.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { type Asked, offeredLines, offerIn } from '../orders/asked-lines.ts'
import { newOrder } from '../orders/create-order.ts'
import { noteRisks } from '../orders/note-risks.ts'
import { note } from '../orders/shapes.ts'
import { OrderReferences } from '../orders/wanted-lines.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { adoptionRefusal } from '../plans/adoption-refusal.ts'
import { beginPlan } from '../plans/begin-plan.ts'
import { bringUp } from '../plans/bring-up.ts'
import { changesSince } from '../plans/changes-since.ts'
import { factsSince } from '../plans/facts-since.ts'
import { harmOf } from '../plans/harm-of-plan.ts'
import { putInForce } from '../plans/put-in-force.ts'
import { untouchable } from '../promise/new-plan-problem.ts'
import { askedOf, type FoundPlan, resultOf, type SearchRow, searchRow } from '../promise/new-plan-rows.ts'
import { idsOfOffer } from '../promise/offer-token.ts'
import { readInput } from '../read-input.ts'
import { externalRef } from '../setup/shapes.ts'
import type { Written } from '../written.ts'
import { endOf, minutes } from './minutes.ts'
import { sweepLapsed } from './sweep.ts'

const shape = z.strictObject({
  offerToken: z.string().min(1).max(100_000),
  minutes: minutes.default(30),
  externalRef,
  note: note.optional(),
})

type Given = z.output<typeof shape>

/** A reservation in a new plan, which is in force. */
export interface ReservedWithNewPlan extends Written {
  planId: string
}

/**
 * Reserves the offer of a new plan (`newPlanFor`) and puts that plan in force, both or neither. What others did since it was found
 * is placed into it. Throws `InvalidInput`; `NotPossible` where the plan is no longer kept; and `Conflict` with what changed, and
 * what of it is in the way: it comes into force only where no line is served later than by the plan in force, nothing frozen, fixed
 * or of today moves, and the offered days are kept.
 */
export async function reserveWithNewPlan(actor: PlanningActor, input: unknown): Promise<ReservedWithNewPlan> {
  const reading = readInput(shape, input)
  const { result, revision } = await withDistributorLock(actor, actor.distributorId, async (locked) => {
    const { tx, log, timeZone, offerKey } = locked
    const { clock, distributorId, snapshots } = actor
    const [today, now] = [todayIn(clock, timeZone), clock.now()]
    const before = await snapshots.locked(tx, distributorId, locked, today)
    const refs = new OrderReferences(tx, distributorId, before.problem, now)
    refs.take(reading)
    const { given } = reading
    await refs.free('Reservation', given.externalRef, 'externalRef')
    const context = { client: tx, snapshot: before, refs, today, now, offerKey, dependOn: () => {} }
    const offer = await offerIn(context, given.offerToken, true)
    const asked = offeredLines(context, offer, idsOfOffer(given.offerToken))
    const search = await searchRow(tx, distributorId, offer.newPlanSearchId ?? '')
    const found = search && resultOf(search)
    if (!search || found?.kind !== 'FOUND') throw new NotPossible('OFFER_GONE', () => [])
    const after = await sweepLapsed(tx, log, before, now)
    const id = await reserve(locked, after, { given, asked, now })
    const adopting = { search, found, lines: asked.lines, today, now, mayRead: actor.mayRead }
    const { planId, problem } = await adopt(locked, after, adopting)
    if (problem.baseline) {
      const held = [before.inForce?.plan, before.inForce?.held().plan] as const
      const plans = { distributorId, problem, before: held, after: problem.baseline }
      const ids = new Set(asked.lines.map((line) => line.id))
      await noteRisks(tx, log, { ...plans, asked: ids }, { kind: 'PLAN_ADOPTED', type: 'Plan', id: planId })
    }
    return { id, planId }
  })
  return { ...result, revision }
}

interface Reserving {
  given: Given
  asked: Asked
  now: Date
}

/** Writes the reservation and its order, before the plan that serves it. Answers its id. */
async function reserve({ tx, log }: Locked, snapshot: Snapshot, { given, asked, now }: Reserving): Promise<string> {
  const { distributorId, today, problem } = snapshot
  const { orderId, reservationId: id } = asked
  const placed = { lines: asked.lines, problem, gaveWay: [] }
  const { order, writes } = newOrder({ snapshot, today, now }, { id: orderId, status: 'RESERVED' }, asked, placed)
  const expiresAt = endOf(now, given.minutes)
  const { externalRef = null, note = null } = given
  const reservation = { id, externalRef, status: 'ACTIVE' as const, madeAt: now, expiresAt, endedAt: null, note }
  await runBatchedStatement(tx, [
    ...writes,
    { model: 'Reservation', rows: [{ ...reservation, distributorId, orderId }] },
  ])
  log('RESERVATION_MADE', { type: 'Reservation', id }, undefined, { ...reservation, order })
  return id
}

interface Adopting extends Pick<PlanningActor, 'mayRead'> {
  search: SearchRow
  found: FoundPlan
  /** The lines that were reserved, in the order of those that were asked for. */
  lines: readonly OrderLine[]
  today: LocalDate
  now: Date
}

/** Brings the plan that was found up to the records with the reserved lines, and puts it in force. Answers the records as they are then. */
async function adopt(
  locked: Locked,
  { distributorId, inForce }: Snapshot,
  { search, found, lines, today, now, mayRead }: Adopting,
): Promise<{ planId: string; problem: LoadedProblem['problem'] }> {
  const { tx } = locked
  const loaded = await loadProblem(tx, distributorId, { today, at: now })
  const problem = { ...loaded.problem, frozenDays: untouchable(loaded.problem) }
  if (!inForce) throw new Conflict('NO_PLAN_IN_FORCE')
  const fromRevision = search.fromRevision ?? search.atRevision
  const { changes, ...touched } = await changesSince(tx, distributorId, fromRevision)
  const facts = await factsSince(tx, distributorId, fromRevision)
  const draft = draftAfter(withLines(found.plan, askedOf(search), lines), facts, problem.orderLines)
  const { plan, obstacles } = bringUp(problem, draft, touched)
  const harm = harmOf(problem, inForce.held().plan, plan, new Set(lines.map(({ id }) => id)))
  // What the draft did better than the plan in force does may be lost; what it was found for may not.
  const ids = new Set<string | undefined>(lines.map(({ id }) => id))
  const inTheWay = obstacles.filter(({ kind, orderLineId }) => kind === 'RULE_BROKEN' || ids.has(orderLineId))
  if (inTheWay.length + harm.length > 0)
    throw await adoptionRefusal(
      tx,
      { distributorId, mayRead, fromRevision, begun: today },
      { problem, changes, obstacles: [...inTheWay, ...harm], today },
    )
  const planId = randomUUID()
  await beginPlan(tx, distributorId, { ...loaded, problem }, { id: planId, seed: found.seed, createdAt: now })
  await saveSolved(tx, distributorId, planId, { plan, statistics: found.statistics })
  const where = { distributorId_id: { distributorId, id: planId } }
  await tx.plan.update({ where, data: { status: 'DRAFT', solvedAt: now } })
  await putInForce(locked, { distributorId, id: planId }, { at: now, costTotal: plan.cost.total, broken: [] })
  return { planId, problem: { ...problem, baseline: plan } }
}

/** The plan with the lines that were reserved in place of those that were asked for. */
function withLines(plan: Plan, asked: readonly OrderLine[], reserved: readonly OrderLine[]): Plan {
  const ids = new Map(asked.map(({ id }, index) => [id, reserved[index]?.id ?? id]))
  const named = <Named extends { orderLineId: string }>(list: readonly Named[]): Named[] =>
    list.map((each) => ({ ...each, orderLineId: ids.get(each.orderLineId) ?? each.orderLineId }))
  return {
    ...plan,
    deliveries: named(plan.deliveries),
    unserved: named(plan.unserved),
    late: named(plan.late ?? []),
    brokenPromises: named(plan.brokenPromises ?? []),
  }
}
