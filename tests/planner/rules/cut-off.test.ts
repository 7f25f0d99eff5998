// B6, from both sides: a line has just those dispatch days as options on which the check finds no cut-off missed; and what
// a plan says of a line that comes too late.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { addDays, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, servedWith } from '../../../src/planner/index.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { OPTION_SIZE } from '../../../src/planner/model/options.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { sampledNumbers } from '../../support/sampled.ts'

it('leaves a line the dispatch days on which the check finds no cut-off missed, and no others', () => {
  const seen = { refused: 0, allowed: 0 }
  for (const seed of sampledNumbers(1, 30, 10)) {
    const problem = randomProblem(seed, 'BINDING_CUT_OFFS')
    const { plan } = makePlan(problem, { steps: 20 })
    const open = compile({ ...problem, routes: problem.routes.map(({ cutOff: _, ...route }) => route) })
    const model = compile(problem)
    for (const { index, id, options } of open.lines) {
      const kept = optionsOf(model.lines[index]!.options)
      for (const [route, dispatch, serve] of optionsOf(options)) {
        const on = { routeId: model.routes[route!]!.id, dispatchOn: addDays(problem.today, dispatch!) }
        const forced = withDelivery(plan, { orderLineId: id, ...on, serveOn: addDays(problem.today, serve!), from: [] })
        const broken = checkPlan(problem, forced).violations.some(
          ({ rule, ids, day: when }) => rule === 'B6' && ids[0] === id && when === on.dispatchOn,
        )
        const has = kept.some(([r, d]) => r === route && d === dispatch)
        expect(has, `${seed}, ${id}, ${on.dispatchOn}`).toBe(!broken)
        seen[broken ? 'refused' : 'allowed']++
      }
    }
  }
  expect(seen.refused).toBeGreaterThan(100)
  expect(seen.allowed).toBeGreaterThan(100)
})

function optionsOf(options: Uint16Array): number[][] {
  const list: number[][] = []
  for (let at = 0; at < options.length; at += OPTION_SIZE) list.push([...options.subarray(at, at + OPTION_SIZE)])
  return list
}

function withDelivery(plan: Plan, delivery: Plan['deliveries'][number]): Plan {
  const others = plan.deliveries.filter(({ orderLineId }) => orderLineId !== delivery.orderLineId)
  return { ...plan, deliveries: [...others, delivery] }
}

/** A brewery with a ready batch; the line is wanted on day 3, so it leaves on day 2 at the latest. */
function late(cutOff: Problem['routes'][number]['cutOff'], placedAt: string): Problem {
  const problem = oneVesselBrewery({
    horizonDays: 6,
    orderLines: [order('a', 4, 3, { latestServeOn: day(3), placedAt })],
  })
  problem.routes[0]!.cutOff = cutOff
  return problem
}

describe('a line that comes after the cut-off of the last day that is in time', () => {
  const problem = late({ daysBefore: 2, at: '15:00' }, `${day(0)}T15:07:00Z`)
  const { plan } = makePlan(problem, { steps: 50 })
  const reason = plan.unserved[0]?.reasons.find(({ relief }) => relief?.what === 'CUT_OFF_LATER')

  it('is not served, and the reason names the route and the minutes', () => {
    expect(plan.deliveries).toEqual([])
    expect(reason).toMatchObject({
      rule: 'B6',
      resource: { kind: 'ROUTE', id: 'van' },
      relief: { what: 'CUT_OFF_LATER', amount: 7, unit: 'MINUTE' },
    })
  })

  it('is served on time with that relief, and not with a minute less', () => {
    const less = reason?.relief && { ...reason, relief: { ...reason.relief, amount: reason.relief.amount - 1 } }
    expect(reason && servedWith(problem, plan, 'a', reason)?.plan.unserved).toEqual([])
    expect(less && servedWith(problem, plan, 'a', less)).toBeUndefined()
  })

  it('is served where it was placed in time, or its time is unknown', () => {
    for (const placedAt of [`${day(0)}T15:00:00Z`, undefined]) {
      const { orderLines, ...rest } = problem
      const placed = { ...rest, orderLines: orderLines.map((line) => ({ ...line, placedAt })) }
      expect(makePlan(placed, { steps: 50 }).plan.unserved).toEqual([])
    }
  })
})

it('says to lift the cut-off by minutes past the end of the day where nothing less would do', () => {
  // Wanted on day 3 from a van that runs on day 2 alone, placed late on day 2, with a cut-off on that day.
  const problem = late({ daysBefore: 0, at: '06:00' }, `${day(2)}T23:59:30Z`)
  problem.routes[0]!.weekdays = [3]
  const { plan } = makePlan(problem, { steps: 50 })
  const reason = plan.unserved[0]?.reasons.find(({ rule }) => rule === 'B6')
  expect(reason?.relief).toMatchObject({ what: 'CUT_OFF_LATER', amount: 18 * 60 })
  expect(reason && servedWith(problem, plan, 'a', reason)?.plan.unserved).toEqual([])
})

it('names the cut-off beside what else binds where lifting it alone would not do', () => {
  const problem = late({ daysBefore: 60, at: '15:00' }, `${day(0)}T15:07:00Z`)
  problem.fillers[0]!.minutesPerDay = 4
  const { plan } = makePlan(problem, { steps: 50 })
  expect(plan.unserved[0]?.reasons.map(({ rule }) => rule)).toEqual(expect.arrayContaining(['B6', 'L1']))
})

it('does not change a plan of lines that say nothing of when they were placed', () => {
  for (const kind of PROBLEM_KINDS) {
    const problem = randomProblem(3, kind)
    const lines = problem.orderLines.map(({ placedAt: _, ...line }) => line)
    const routes = problem.routes.map((route) => ({ ...route, cutOff: { daysBefore: 60, at: '00:00' } }))
    const without = problem.routes.map(({ cutOff: _, ...route }) => route)
    const planOf = (some: Problem['routes']) =>
      makePlan({ ...problem, orderLines: lines, routes: some }, { steps: 20 }).plan
    expect(planOf(routes)).toEqual(planOf(without))
  }
})
