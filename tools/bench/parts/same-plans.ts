// Same plans: does a change of the code leave the plans as they were? SHA-256 of seeded plans and of replans after events.
import { createHash } from 'node:crypto'
import { z } from 'zod'
import { type BaselineEvent, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import type { Plan, Problem, Reason } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import type { Part } from '../part.ts'
import expected from '../same-plans.json' with { type: 'json' }

/** The kinds of problems, by name, so that a new kind leaves the seeds of these as they are. */
const KINDS = [
  'PLAIN',
  'SEVERAL_SITES',
  'PRIMED',
  'BRIGHT',
  'BINDING_FLEETS',
  'BINDING_STORES',
  'OVERFULL_STORES',
  'BINDING_FILLERS',
  'BINDING_ROUTES',
  'BINDING_BREWHOUSE',
  'OVERDUE_BATCHES',
  'QUARANTINED_BATCHES',
  'UNPRIMABLE_BATCHES',
  'OPENED_BATCHES',
  'CLOCK_CHANGE',
  'OVERLOAD',
  'SPLITTABLE',
  'PROMISED',
  'PRIORITIES',
  'STALE_STOCK',
  'VESSELS_OUT',
  'PAST_SERVE_DAYS',
  'ACCOUNT_RULES',
  'CLOSED_DAYS',
  'OWN_COSTS',
  'MIXED',
] as const satisfies readonly ProblemKind[]

/** The events, by name, for the same reason. */
const EVENTS = [
  'LATE_BATCH',
  'VESSEL_OUT',
  'NEW_ORDERS',
  'FLEET_SHORT',
  'CANCELLED_ORDER',
  'TIME_PASSES',
] as const satisfies readonly BaselineEvent[]

const SEEDS = 5
const STEPS = 120

export const samePlans: Part = {
  name: 'same-plans',
  about: 'SHA-256 of 260 seeded plans and events, and of their reasons without words, against the committed ones',
  run(report) {
    const digests = { plans: createHash('sha256'), reasons: createHash('sha256') }
    const add = (name: string, problem: Problem): Plan => {
      const { plan } = makePlan(problem, { steps: STEPS, seed: 7 })
      report.check(name, problem, plan)
      digests.plans.update(`${name} ${JSON.stringify(withoutReasons(plan))}\n`)
      digests.reasons.update(`${name} ${JSON.stringify(reasonsOf(plan))}\n`)
      return plan
    }
    for (const kind of report.quick ? KINDS.slice(0, 4) : KINDS) {
      for (let seed = 1; seed <= SEEDS; seed++) {
        const problem = randomProblem(seed, kind)
        const plan = add(`${kind} ${seed}`, problem)
        add(`${kind} ${seed} after an event`, randomBaselineEvent(problem, plan, seed, undefined, EVENTS))
      }
    }
    const found = { plans: digests.plans.digest('hex'), reasons: digests.reasons.digest('hex') }
    const wanted = report.quick ? expected.quick : expected.full
    for (const what of ['plans', 'reasons'] as const) {
      report.say(`${what}: ${found[what]}`)
      if (found[what] !== wanted[what]) report.fault(`the ${what} are not those of same-plans.json: ${wanted[what]}`)
    }
  },
}

const record = z.record(z.string(), z.unknown())

/** A plan's decisions, verdicts and cost as they are written, without why; of any part of it likewise. */
function withoutReasons(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutReasons)
  const object = record.safeParse(value)
  if (!object.success) return value
  return Object.fromEntries(
    Object.entries(object.data)
      .filter(([key]) => key !== 'reasons')
      .map(([key, inner]) => [key, withoutReasons(inner)]),
  )
}

/** Each reason of the plan, in its order: the rule, what binds, the days and the relief; none of the words. */
function reasonsOf(plan: Plan): unknown {
  const lists = [plan.unserved, plan.late ?? [], plan.brokenPromises ?? [], plan.moved ?? []]
  return lists.map((list) => list.map(({ reasons }) => reasons.map(bare)))
}

function bare({ rule, resource, from, to, relief }: Reason): unknown {
  return [rule, resource?.kind, resource?.id, from, to, relief?.what, relief?.amount, relief?.unit, relief?.by]
}
