// Replanning: after an event, is the new plan at least as good as the plain repair (drop what broke, place again)?
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { number, type Part } from '../part.ts'

export const replanning: Part = {
  name: 'replanning',
  about: '30 events (late batch, vessel out, new orders, …) against the plain repair',
  run(report) {
    const { events, steps } = report.quick ? { events: 6, steps: 300 } : { events: 30, steps: 2000 }
    const rows = []
    let costlier = 0
    let newlyBroken = 0
    for (let seed = 1; seed <= events; seed++) {
      const event = BASELINE_EVENTS[(seed - 1) % BASELINE_EVENTS.length]!
      const before = sizedProblem({ lines: 40 + 20 * (seed % 4), vessels: 8, days: 42, seed })
      const standing = makePlan(before, { steps }).plan
      report.check(`event ${seed}, before`, before, standing)
      const problem = randomBaselineEvent(before, standing, seed, event)
      const repair = makePlan(problem, { steps: 0 }).plan
      const calm = makePlan(problem, { steps }).plan
      report.check(`event ${seed}, plain repair`, problem, repair)
      report.check(`event ${seed}, replanned`, problem, calm)
      const kept = brokenIn(repair)
      const broken = [...brokenIn(calm)].filter((id) => !kept.has(id)).length
      if (calm.cost.total > repair.cost.total + 0.01) costlier++
      newlyBroken += broken
      const promises = `${kept.size} → ${brokenIn(calm).size}`
      const moves = `${repair.moved?.length ?? 0} → ${calm.moved?.length ?? 0}`
      rows.push([seed, event, problem.orderLines.length, number(repair.cost.total), number(calm.cost.total)])
      rows.at(-1)!.push(promises, broken, moves)
    }
    const head = ['seed', 'event', 'lines', 'plain repair', `${steps} steps`]
    report.table([...head, 'broken promises', 'newly broken', 'held days moved'], rows)
    report.goal('plans that cost more than the plain repair', costlier, 0, String)
    report.goal('promises broken that the plain repair keeps', newlyBroken, 0, String)
  },
}

/** Lines whose promise the plan breaks. */
function brokenIn(plan: Plan): Set<string> {
  return new Set((plan.brokenPromises ?? []).map(({ orderLineId }) => orderLineId))
}
