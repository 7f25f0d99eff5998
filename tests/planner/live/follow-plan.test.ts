// A plan that is kept open follows what happens: it makes the same of it as opening the plan anew, answers the same, passes the
// checker, and leaves the versions before it what they are.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine, Plan } from '../../../src/planner/documents/index.ts'
import { checkPlan, costIfValid, makePlan } from '../../../src/planner/index.ts'
import { followPlan } from '../../../src/planner/live/follow-plan.ts'
import type { LivePlan } from '../../../src/planner/live/live-plan.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import { expectSame, unexplained } from '../../support/audit.ts'
import { sampledNumbers } from '../../support/sampled.ts'
import { somethingHappens } from '../../support/some-facts.ts'
import { someLines } from '../../support/some-lines.ts'

const SEEDS = sampledNumbers(301, 300, 7, 14)
const STEPS = 6

/** What a version says of itself, and of lines that are asked for. */
function seen(version: LivePlan, asked: OrderLine[]): string {
  const ids = version.problem.orderLines.map(({ id }) => id).sort()
  return JSON.stringify([version.deliveries(ids), version.trial.promise(asked, { unexplained: true })])
}

/** The plan with decisions that `known` does not have named by what they are: each way of opening it counts on from where it stands. */
function renamed(plan: Plan, known: Plan): Plan {
  const ids = new Set([...known.brews, ...known.transfers, ...known.fillRuns].map(({ id }) => id))
  const brew = new Map(plan.brews.map((each) => [each.id, `${each.beerId} in ${each.vesselId} on ${each.brewOn}`]))
  const batch = (id: string) => (ids.has(id) ? id : (brew.get(id) ?? id))
  const runs = new Map(
    plan.fillRuns.map((run) => [run.id, `${batch(run.batchId)} by ${run.fillerId} of ${run.packId} on ${run.on}`]),
  )
  const run = (id: string) => (ids.has(id) ? id : (runs.get(id) ?? id))
  const transfer = ({ id, batchId }: Plan['transfers'][number]) => (ids.has(id) ? id : `of ${batch(batchId)}`)
  return {
    ...plan,
    brews: plan.brews.map((each) => ({ ...each, id: batch(each.id) })),
    transfers: plan.transfers.map((each) => ({ ...each, id: transfer(each), batchId: batch(each.batchId) })),
    fillRuns: plan.fillRuns.map((each) => ({ ...each, id: run(each.id), batchId: batch(each.batchId) })),
    dumped: plan.dumped.map((each) => ({ ...each, batchId: batch(each.batchId) })),
    deliveries: plan.deliveries.map((each) => ({
      ...each,
      from: each.from.map((source) => (source.fillRunId ? { ...source, fillRunId: run(source.fillRunId) } : source)),
    })),
  }
}

/** What a version answers, without the names of brews: each way of opening a plan counts on from where it stands. Vessel and day say which. */
function answers(version: LivePlan, asked: OrderLine[]): string {
  return JSON.stringify(version.trial.promise(asked, { unexplained: true }), (key, value: unknown) =>
    key === 'batchId' && typeof value === 'string' && value.startsWith('brew-') ? '' : value,
  )
}

const followed = new Map<string, number>()
const opened = new Map<string, number>()

describe.each(SEEDS)('problem %i', (seed) => {
  test('a plan that follows what happened is the one that is opened anew', () => {
    const made = randomProblem(seed)
    if (made.accounts.length === 0 || made.beers.length === 0) return
    const random = randomFrom(seed)
    const start = { ...made, frozenDays: random.int(0, 3) }
    const { plan: first } = makePlan(start, { steps: 20 })
    let live = openLivePlan({ ...start, baseline: first }, first)
    const asked = someLines(made, seed, 'asked', 1)
    const versions: [LivePlan, string][] = []
    for (let step = 0; step < STEPS; step++) {
      versions.push([live, seen(live, asked)])
      const { kind, ...after } = somethingHappens(live.problem, live.plan, random)
      const based = { ...after.problem, baseline: after.plan }
      const cost = costIfValid(based, after.plan)
      const plan = cost ? { ...after.plan, cost } : after.plan
      const problem = { ...after.problem, baseline: plan }
      const isKept = cost !== undefined
      const anew = openLivePlan(problem, plan, isKept)
      const what = `${kind}, ${isKept ? 'kept' : 'not kept'}`
      const next = followPlan(live, problem, plan, isKept)
      const count = next ? followed : opened
      count.set(what, (count.get(what) ?? 0) + 1)
      if (next) {
        const bare = (made: Plan) => unexplained(renamed(made, plan))
        expectSame(bare(next.plan), bare(anew.plan))
        expectSame(bare(next.held), bare(anew.held))
        expect(checkPlan({ ...problem, baseline: next.plan }, next.plan).violations).toEqual([])
        expect(answers(next, asked)).toBe(answers(anew, asked))
        versions.push([next, seen(next, asked)])
      }
      // Where no one says that the plan is valid it holds the same, which the checker accepts. New decisions count on.
      const judged = followPlan(live, { ...after.problem, baseline: after.plan }, after.plan)
      expect(judged !== undefined).toBe(next !== undefined)
      if (next && judged) {
        expectSame(unexplained(renamed(judged.held, plan)), unexplained(renamed(next.held, plan)))
        expect(checkPlan(problem, judged.held).violations).toEqual([])
        if (isKept) expect(judged.held.deliveries).toBe(after.plan.deliveries)
      }
      live = next && random.chance(0.8) ? next : anew
      const lines = someLines(made, seed * 100 + step, `new-${step}`)
      live = live.propose(new Set(), () => lines.map((wanted) => ({ placed: wanted, wanted }))).next
    }
    for (const [version, was] of random.shuffled(versions)) expect(seen(version, asked)).toBe(was)
  })
})

test('most of what happens is followed', () => {
  const count = (counts: Map<string, number>) => [...counts.values()].reduce((sum, each) => sum + each, 0)
  expect(count(followed)).toBeGreaterThan(3 * count(opened))
})
