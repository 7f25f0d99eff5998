// Which promises a plan does not keep, and what the plan in force keeps no more because the records have moved on since.

import { todayIn } from '../../clock.ts'
import type { LocalDate, Plan, Reason } from '../../planner/documents/index.ts'
import { deliveredByLine } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'

/** A promise that is not kept. */
export interface Risk {
  promisedOn: LocalDate
  /** The day on which the line is wholly served; null where it is not. */
  expectedOn: LocalDate | null
  /** Whole containers that are not served; null where all are, but late. */
  containers: number | null
  reasons: Reason[]
}

/** The promises that a plan breaks (F2), by line. */
export function risksOf(plan: Plan | undefined): Map<string, Risk> {
  const missing = new Map(plan?.unserved.map(({ orderLineId, quantity }) => [orderLineId, quantity]))
  return new Map(
    plan?.brokenPromises?.map(({ orderLineId, promisedOn, now, reasons }) => [
      orderLineId,
      { promisedOn, expectedOn: now, containers: missing.get(orderLineId) ?? null, reasons },
    ]),
  )
}

/** Why a line is served late or not wholly. */
export interface LineRisk {
  /** Whole containers that are not served; null where all are, but late. */
  containers: number | null
  reasons: Reason[]
}

/** How a line is served that the plan in force does not serve as its rows say, because the records have moved on since. */
export interface MovedOn {
  /** The last day on which some of it is served; null where nothing is. */
  expectedOn: LocalDate | null
  /** Absent: it is served as promised or wanted. */
  atRisk?: LineRisk
}

const known = new WeakMap<Snapshot, ReadonlyMap<string, MovedOn>>()

/**
 * The lines that are served otherwise than the rows of the plan in force say: a vessel is out, a batch is late, a day has
 * passed. Empty where the plan holds as it is.
 */
export function movedOn(snapshot: Snapshot): ReadonlyMap<string, MovedOn> {
  const found = known.get(snapshot) ?? findMovedOn(snapshot)
  known.set(snapshot, found)
  return found
}

/** The same for the records as they are now; empty where no plan is in force. */
export async function readMovedOn(
  { client, clock, distributorId, snapshots }: Actor,
  planId: string | undefined,
): Promise<ReadonlyMap<string, MovedOn>> {
  if (!snapshots || planId === undefined) return new Map()
  const { timeZone, ...version } = await client.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { revision: true, epoch: true, timeZone: true },
  })
  const moment = { today: todayIn(clock, timeZone), at: clock.now() }
  return movedOn(await snapshots.current(client, distributorId, version, moment))
}

function findMovedOn({ inForce, problem }: Snapshot): Map<string, MovedOn> {
  const lines = new Map<string, MovedOn>()
  if (!inForce) return lines
  if (inForce.holds()) return lines
  const held = inForce.held().plan
  const [before, now] = [deliveredByLine(inForce.plan.deliveries), deliveredByLine(held.deliveries)]
  const unserved = new Map(held.unserved.map((each) => [each.orderLineId, each]))
  const late = new Map(held.late?.map((each) => [each.orderLineId, each]))
  for (const { id } of problem.orderLines) {
    const [was, is] = [before.get(id), now.get(id)]
    if (was?.quantity === is?.quantity && was?.last === is?.last) continue
    const missing = unserved.get(id)
    const reasons = missing?.reasons ?? late.get(id)?.reasons
    lines.set(id, {
      expectedOn: is?.last ?? null,
      ...(reasons ? { atRisk: { containers: missing?.quantity ?? null, reasons } } : {}),
    })
  }
  return lines
}
