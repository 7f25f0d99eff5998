// Section 8: what a plan costs, term by term, recomputed from the problem and the plan alone.

import { brewsOf } from '../documents/brews.ts'
import { COST_TERMS, type Costs, DEFAULT_COSTS, type OrderLine, type Plan, type Problem } from '../documents/problem.ts'
import { costTolerance } from '../documents/tolerances.ts'
import { heldDecisions } from '../facts/decisions.ts'
import { deriveFacts, type Facts } from '../facts/facts.ts'
import type { DeliveryFacts, Parcel } from '../facts/packed.ts'
import { type Violation, violation } from '../facts/violation.ts'

/** The cost of a plan by term, and their sum. */
export type PlanCost = Plan['cost']

const PRIORITY_WEIGHT = { 1: 4, 2: 2, 3: 1 } as const

/** The cost of a plan for its problem (section 8), whatever the plan states. Parts that name nothing known count nothing. */
export function planCost(problem: Problem, plan: Plan): PlanCost {
  return costOf(deriveFacts(problem, plan))
}

const costs = new WeakMap<Facts, PlanCost>()

/** The cost of a plan whose facts are derived already; reckoned once. */
export function costOf(facts: Facts): PlanCost {
  const known = costs.get(facts) ?? reckonedCost(facts)
  costs.set(facts, known)
  return known
}

function reckonedCost(facts: Facts): PlanCost {
  const counts: Costs = {
    unservedPromised: 0,
    unserved: 0,
    latePromised: 0,
    late: 0,
    dumped: dumpedLitres(facts),
    unsold: unsoldLitres(facts),
    brew: brews(facts),
    setup: facts.setUps.reduce((sum, { batch }) => sum + batch.beer.setupWeight, 0),
    drop: drops(facts),
    standing: standingLitreDays(facts),
    churn: churn(facts),
  }
  for (const line of facts.problem.orderLines) {
    const deliveries = facts.deliveriesOf.get(line.id) ?? []
    const promised = line.promisedOn !== undefined
    const weight = promised ? 1 : PRIORITY_WEIGHT[line.priority]
    counts[promised ? 'unservedPromised' : 'unserved'] += unservedLitres(facts, line, deliveries) * weight
    const due = facts.dayOf(line.promisedOn ?? line.serveOn)
    for (const { serve, litres } of deliveries)
      counts[promised ? 'latePromised' : 'late'] += litres * Math.max(0, serve - due) * weight
  }
  const terms = { ...counts }
  for (const term of COST_TERMS) terms[term] = counts[term] * (facts.problem.costs?.[term] ?? DEFAULT_COSTS[term])
  return { total: COST_TERMS.reduce((sum, term) => sum + terms[term], 0), terms }
}

/** COST: the plan states what it costs, in total and by term, within 0.01 and a millionth. */
export function statedCost(facts: Facts): Violation[] {
  const { total, terms } = costOf(facts)
  const stated = facts.plan.cost
  const sides = [
    ...COST_TERMS.map((term) => [term, stated.terms[term], terms[term]] as const),
    ['total', stated.total, total] as const,
  ]
  return sides
    .filter(([, said, is]) => !(Math.abs(said - is) <= costTolerance(is)))
    .map(([name, said, is]) =>
      violation('COST', `the plan states ${name} ${said}; it is ${Math.round(is * 1e4) / 1e4}`, name),
    )
}

function unservedLitres(facts: Facts, line: OrderLine, deliveries: readonly DeliveryFacts[]): number {
  const delivered = deliveries.reduce((sum, { quantity }) => sum + quantity, 0)
  return Math.max(0, line.quantity - delivered) * (facts.packs.get(line.packId)?.type.nominalLitres ?? 0)
}

/** Drawable litres dumped or lost at set-ups, and nominal litres emptied past their best (S2). */
function dumpedLitres(facts: Facts): number {
  let litres = facts.setUps.reduce((sum, { lossLitres }) => sum + lossLitres, 0)
  for (const { stays } of facts.batches.values())
    for (const { dumps } of stays) for (const dump of dumps) litres += dump.litres
  for (const parcel of facts.parcels) if (parcel.emptiedOn !== undefined) litres += leftLitres(parcel)
  return litres
}

/** Litres in vessels at the end of the horizon, and nominal litres in containers neither delivered nor emptied. */
function unsoldLitres(facts: Facts): number {
  let litres = 0
  for (const { stays } of facts.batches.values()) for (const stay of stays) litres += Math.max(0, stay.leftLitres)
  for (const parcel of facts.parcels) if (parcel.emptiedOn === undefined) litres += leftLitres(parcel)
  return litres
}

function leftLitres({ leftQuantity, of }: Parcel): number {
  return leftQuantity * of.type.nominalLitres
}

function brews(facts: Facts): number {
  let sum = 0
  for (const { brew, site } of facts.batches.values()) if (brew) sum += brewsOf(brew.litres, site.site.brewLitres)
  return sum
}

function drops(facts: Facts): number {
  const days = new Map<string, Set<number>>()
  let sum = 0
  for (const { account, dispatch } of facts.deliveries) {
    const known = days.get(account.id) ?? new Set()
    if (known.has(dispatch)) continue
    sum += 1
    days.set(account.id, known.add(dispatch))
  }
  return sum
}

/** Litres × days from the first day on which a container could have been served to the day on which it is. */
function standingLitreDays(facts: Facts): number {
  let sum = 0
  for (const { of, route, serve, settleDays, sources } of facts.deliveries)
    for (const { parcel, quantity } of sources) {
      const first = Math.max(parcel.fitOn, 0) + route.transitDays + settleDays
      sum += quantity * of.type.nominalLitres * Math.max(0, serve - first)
    }
  return sum
}

/** Baseline decisions from today on that are gone, or are another beer, vessel, batch, filler, pack or day. */
function churn(facts: Facts): number {
  const { now, before } = heldDecisions(facts)
  let sum = 0
  for (const [key, was] of before) {
    const is = now.get(key)
    if (!is || is.what !== was.what || is.on !== was.on) sum += 1
  }
  return sum
}
