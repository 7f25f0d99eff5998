// Trial placement: how long "when can this account have these?" takes in a full plan.
import { randomFrom } from '../../../seeds/random.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { OrderLine, Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays, lineWithDefaults } from '../../../src/planner/documents/index.ts'
import { openTrial } from '../../../src/planner/index.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT } from '../../../src/planner/insertion/policy.ts'
import { compile, compileLine } from '../../../src/planner/model/compile.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { loadBaseline } from '../../../src/planner/opening/load-baseline.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { milliseconds, type Part } from '../part.ts'
import { mean, percentile } from '../statistics.ts'
import { timedPlan } from '../timed-plan.ts'

export const trial: Part = {
  name: 'trial',
  about: 'trial placement in a full plan of 5,000 lines, 100 vessels, 90 days',
  run(report) {
    const { lines, vessels, seconds, asked } = report.quick
      ? { lines: 1000, vessels: 40, seconds: 1, asked: 300 }
      : { lines: 5000, vessels: 100, seconds: 10, asked: 3000 }
    const problem = sizedProblem({ lines, vessels, days: 90, seed: 1 })
    const { plan } = timedPlan(report, 'the full plan', problem, seconds)
    const open = openTrial(problem, plan)
    const random = randomFrom(1)
    const ask = (index: number): OrderLine => {
      const like = random.pick(problem.orderLines)
      const serveOn = addDays(problem.today, random.int(2, problem.horizonDays - 1))
      const id = `trial-${index}`
      const { accountId, packId } = like
      return lineWithDefaults({ id, orderId: id, accountId, packId, quantity: random.int(1, 6), serveOn })
    }
    const asks = Array.from({ length: asked }, (_, index) => ask(index))
    const alone = placements(problem, plan, asks)
    for (const line of asks.slice(0, asked / 10)) open.promise([line])
    const times = { 'on time': [] as number[], 'late or not at all': [] as number[] }
    for (const line of asks) {
      const started = performance.now()
      const [answer] = open.promise([line])
      const took = performance.now() - started
      times[answer!.onTime ? 'on time' : 'late or not at all'].push(took)
    }
    const plain = asks.map((line) => timed(() => open.promise([line], { unexplained: true })))
    const packs = problem.beers.flatMap((beer) => beer.packs)
    const forms = problem.accounts.slice(0, report.quick ? 5 : 40).map(({ id: accountId }, index) => {
      const from = addDays(problem.today, 2 + (index % 30))
      return timed(() => {
        for (const { id: packId } of packs)
          open.maxAvailable({
            ...lineWithDefaults({ id: 'form', orderId: 'form', accountId, packId, quantity: 1000, serveOn: from }),
            latestServeOn: addDays(from, 27),
          })
      })
    })
    const rows = { 'placement alone': alone, 'plain answer': plain, ...times, 'order form': forms }
    report.table(
      ['what', 'asked', 'half', '95 of 100', '99 of 100', 'longest'],
      Object.entries(rows)
        .filter(([, list]) => list.length > 0)
        .map(([name, list]) => [
          name,
          list.length,
          ...[0.5, 0.95, 0.99, 1].map((share) => milliseconds(percentile(list, share))),
        ]),
    )
    report.say(
      `Placement alone: placed, applied, taken out. Plain answer: the earliest day, unexplained. The next are answers explained where late. Order form: what can be offered of ${packs.length} packs on each of 28 days.`,
    )
    report.goal('placement, 95th percentile', percentile(alone, 0.95), 0.2, milliseconds)
    report.goal('placement, 99th percentile', percentile(alone, 0.99), 5, milliseconds)
    report.goal('plain answer, mean', mean(plain), 0.3, milliseconds)
    report.goal('order form, in plain answers', mean(forms) / mean(plain), 100, (value) => value.toFixed(0))
  },
}

/** Milliseconds that some work takes. */
function timed(work: () => void): number {
  const started = performance.now()
  work()
  return performance.now() - started
}

/** Milliseconds of the primitive itself for each line: place at the least added cost, apply, undo. */
function placements(problem: Problem, plan: Plan, asks: readonly OrderLine[]): number[] {
  const model = compile({ ...problem, baseline: plan })
  const state = openState(model)
  loadBaseline(state, plan)
  const once = (ask: OrderLine): number => {
    const started = performance.now()
    const log = new UndoLog(state)
    const line = compileLine(model, ask)
    log.enter(line)
    const found = place(state, line, EXACT, true)
    if (found) log.place(found.placement)
    log.undo()
    state.touched.clear()
    return performance.now() - started
  }
  for (const ask of asks.slice(0, asks.length / 10)) once(ask)
  return asks.map(once)
}
