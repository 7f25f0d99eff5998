// What happens to a plan after it was adopted: a problem with that plan as its baseline, after an event.

import type { Batch, OrderLine, Plan, Problem } from '../src/planner/documents/index.ts'
import { addDays, dayNumber, instantAt, lineWithDefaults, wallClock } from '../src/planner/documents/index.ts'
import { advance, remainder } from './generator/advance.ts'
import { found } from './generator/demand.ts'
import { type Random, randomFrom } from './random.ts'

/** The events, each with what it does to the problem; undefined where the problem has nothing that the event could happen to. */
const EVENTS = {
  /** A batch that was not opened yet becomes ready three days later. */
  LATE_BATCH(problem: Problem, _plan: Plan, random: Random): Problem | undefined {
    const waiting = problem.batches.filter((batch) => batch.openedOn === undefined && batch.transferredOn === undefined)
    if (waiting.length === 0) return undefined
    const late = random.pick(waiting)
    const zone = zoneOf(problem, late)
    const { day, minute } = wallClock(late.readyAt, zone)
    const readyAt = instantAt(Math.max(day, dayNumber(problem.today)) + 3, Math.floor(minute), zone)
    return { ...problem, batches: problem.batches.map((batch) => (batch === late ? { ...batch, readyAt } : batch)) }
  },
  /** A batch, one that the plan transfers if there is any, is kept back for quality. */
  QUARANTINED_BATCH(problem: Problem, plan: Plan, random: Random): Problem | undefined {
    const free = problem.batches.filter(({ quarantined }) => !quarantined)
    if (free.length === 0) return undefined
    const moved = free.filter(({ id }) => plan.transfers.some(({ batchId }) => batchId === id))
    const kept = random.pick(moved.length > 0 ? moved : free)
    const batches = problem.batches.map((batch) => (batch === kept ? { ...batch, quarantined: true } : batch))
    return { ...problem, batches }
  },
  /** A vessel, one that the plan uses if there is any, is out for a week. */
  VESSEL_OUT(problem: Problem, plan: Plan, random: Random): Problem {
    const used = new Set([
      ...plan.brews.map((brew) => brew.vesselId),
      ...plan.transfers.map((transfer) => transfer.toVesselId),
    ])
    const candidates = problem.vessels.filter((vessel) => used.has(vessel.id))
    const out = random.pick(candidates.length > 0 ? candidates : problem.vessels)
    const entries = [
      ...plan.brews.map((brew) => [brew.vesselId, brew.brewOn] as const),
      ...plan.transfers.map((t) => [t.toVesselId, t.on] as const),
    ]
    const days = entries.filter(([id, on]) => id === out.id && on >= problem.today).map(([, on]) => on)
    const from = days.length > 0 ? random.pick(days) : addDays(problem.today, random.int(0, 3))
    const span = { from, to: addDays(from, 6) }
    const vessels = problem.vessels.map((vessel) =>
      vessel === out ? { ...vessel, outOfService: [...vessel.outOfService, span] } : vessel,
    )
    return { ...problem, vessels }
  },
  /** Ten new orders of accounts that order already, for packs that are ordered already. */
  NEW_ORDERS(problem: Problem, _plan: Plan, random: Random): Problem | undefined {
    if (problem.orderLines.length === 0) return undefined
    const added = Array.from({ length: 10 }, (_, index): OrderLine => {
      const like = random.pick(problem.orderLines)
      const serveOn = addDays(problem.today, random.int(Math.min(2, problem.horizonDays - 1), problem.horizonDays - 1))
      const id = `new-${index + 1}`
      return lineWithDefaults({
        id: `${id}/1`,
        orderId: id,
        accountId: like.accountId,
        packId: like.packId,
        quantity: random.int(1, 5),
        serveOn,
      })
    })
    return { ...problem, orderLines: [...problem.orderLines, ...added] }
  },
  /** Half of the clean containers of one fleet are missing, and its next return does not come. */
  FLEET_SHORT(problem: Problem, _plan: Plan, random: Random): Problem | undefined {
    if (problem.fleets.length === 0) return undefined
    const short = random.pick(problem.fleets)
    const fleets = problem.fleets.map((fleet) =>
      fleet === short ? { ...fleet, cleanNow: Math.floor(fleet.cleanNow / 2), returns: fleet.returns.slice(1) } : fleet,
    )
    return { ...problem, fleets }
  },
  /** One order is cancelled with all its lines. */
  CANCELLED_ORDER(problem: Problem, _plan: Plan, random: Random): Problem | undefined {
    if (problem.orderLines.length === 0) return undefined
    const { orderId } = random.pick(problem.orderLines)
    return { ...problem, orderLines: problem.orderLines.filter((line) => line.orderId !== orderId) }
  },
  /** One or two days pass; what the plan did on them is fact. */
  TIME_PASSES(problem: Problem, plan: Plan, random: Random): Problem {
    return advance(problem, plan, random.int(1, Math.min(2, problem.horizonDays - 1) || 1))
  },
} as const satisfies Record<string, (problem: Problem, plan: Plan, random: Random) => Problem | undefined>

export type BaselineEvent = keyof typeof EVENTS
/** Every event, in a stable order. */
export const BASELINE_EVENTS = Object.keys(EVENTS).filter((name): name is BaselineEvent => Object.hasOwn(EVENTS, name))

/**
 * The problem after an event that befell `plan`, which is valid for `problem`: with the plan as baseline, some of its
 * decisions fixed, some days frozen. Without an event the seed chooses one `among` some; one that cannot happen here gives way to
 * time passing. Sometimes time passes beside the event.
 */
export function randomBaselineEvent(
  problem: Problem,
  plan: Plan,
  seed: number,
  event?: BaselineEvent,
  among: readonly BaselineEvent[] = BASELINE_EVENTS,
): Problem {
  const random = randomFrom(seed).fork('event')
  const chosen = event ?? random.pick(among)
  const later = chosen !== 'TIME_PASSES' && random.chance(0.3) ? advance(problem, plan, 1) : problem
  // What happened on a day that has passed must not happen again.
  const rest = later === problem ? plan : remainder(plan, later)
  const after = EVENTS[chosen](later, rest, random.fork(chosen)) ?? EVENTS.TIME_PASSES(later, rest, random.fork('time'))
  const fixing = random.fork('fixing')
  const share = random.pick([0, 0.1, 0.3])
  const some = <T extends { fixed?: boolean | undefined }>(list: readonly T[]) =>
    list.map((decision) => (fixing.chance(share) ? { ...decision, fixed: true } : decision))
  return {
    ...after,
    frozenDays: random.pick([0, 1, 3, 7]),
    baseline: { ...plan, brews: some(plan.brews), transfers: some(plan.transfers), fillRuns: some(plan.fillRuns) },
  }
}

function zoneOf(problem: Problem, batch: Batch): string {
  const vessels = new Map(problem.vessels.map((vessel) => [vessel.id, vessel.siteId]))
  const zones = new Map(problem.sites.map((site) => [site.id, site.timeZone]))
  return found(zones, found(vessels, batch.vesselId))
}
