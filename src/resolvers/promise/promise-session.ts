// What a question of sales is answered from: one snapshot of the plan in force. No question writes anything.
import { todayIn } from '../../clock.ts'
import { Conflict } from '../../errors.ts'
import { addDays, type LocalDate, type Problem } from '../../planner/documents/index.ts'
import type { Trial } from '../../planner/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { OrderReferences } from '../orders/wanted-lines.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { OfferMaker } from './offer-token.ts'

/** What one question is answered from; everything in it belongs to one revision. */
export interface PromiseSession {
  snapshot: Snapshot
  problem: Problem
  today: LocalDate
  refs: OrderReferences
  /** Signs the offers of the answer. */
  maker: OfferMaker
  /** Now, by the clock. */
  at: Date
  /** The plan in force, open for trial placements. Throws `Conflict` where none is. */
  trial: () => Trial
}

/** Reads what a question is answered from. */
export async function openPromiseSession(actor: PlanningActor): Promise<PromiseSession> {
  const { client, clock, distributorId, snapshots } = actor
  const { timeZone, offerKey, ...version } =
    actor.found ??
    (await client.distributor.findUniqueOrThrow({
      where: { id: distributorId },
      select: { revision: true, epoch: true, timeZone: true, offerKey: true },
    }))
  const at = clock.now()
  const snapshot = await snapshots.current(client, distributorId, version, { today: todayIn(clock, timeZone), at })
  return {
    snapshot,
    problem: snapshot.problem,
    today: snapshot.today,
    refs: new OrderReferences(client, distributorId, snapshot.problem, at),
    maker: { distributorId, offerKey },
    at,
    trial: () => {
      if (!snapshot.inForce) throw new Conflict('NO_PLAN_IN_FORCE')
      return snapshot.inForce.held().trial
    },
  }
}

/** The last day that plans reach (T5). */
export function lastDayOf({ today, problem }: Pick<PromiseSession, 'today' | 'problem'>): LocalDate {
  return addDays(today, problem.horizonDays - 1)
}
