// The plan that the planner makes of the demo: every situation is in it, on days in a row and near holidays; on all days
// of a leap year in `npm run test:long`.
import { beforeAll, describe, expect, it } from 'vitest'
import { demoScenario, KEY_ORDERS } from '../../seeds/demo.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { addDays, dayNumber, wallClock } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import { LONG, sampled } from '../support/sampled.ts'
import { NEAR_HOLIDAYS } from './demo-todays.ts'

/** Fourteen days in a row; the clocks of Europe/London change on the night of the eighth, Easter Sunday, 28 March 2027. */
const IN_A_ROW = Array.from({ length: 14 }, (_, offset) => addDays('2027-03-21', offset))
/** All 366 days of a leap year, which the long run looks at. */
const LEAP_YEAR = Array.from({ length: 366 }, (_, offset) => addDays('2028-01-01', offset))

const TODAYS = [...sampled(IN_A_ROW, 2), ...sampled(NEAR_HOLIDAYS, 2, 8), ...(LONG ? LEAP_YEAR : [])]

/** Fewer leave a line now and then where it was placed at first. */
const STEPS = 4000

type BeerOrigin = 'STOCK' | 'READY_BATCH' | 'FERMENTING_BATCH' | 'NEW_BREW'

/** What each line is wholly served from, and whether on time. */
function served({
  problem,
  plan,
}: {
  problem: Problem
  plan: Plan
}): Map<string, { onTime: boolean; from: Set<BeerOrigin> }> {
  const runs = new Map(plan.fillRuns.map((run) => [run.id, run.batchId]))
  const batches = new Map(problem.batches.map((batch) => [batch.id, batch.readyAt]))
  const today = dayNumber(problem.today)
  const sourceOf = (fillRunId: string | undefined): BeerOrigin => {
    const readyAt = fillRunId === undefined ? undefined : batches.get(runs.get(fillRunId) ?? '')
    if (fillRunId === undefined) return 'STOCK'
    if (readyAt === undefined) return 'NEW_BREW'
    // Batches of the demo become ready in the afternoon: the ready day is the next one (T1).
    return wallClock(readyAt, 'Europe/London').day + 1 <= today ? 'READY_BATCH' : 'FERMENTING_BATCH'
  }
  const unserved = new Set(plan.unserved.map((entry) => entry.orderLineId))
  const late = new Set(plan.late?.map((entry) => entry.orderLineId))
  const lines = new Map<string, { onTime: boolean; from: Set<BeerOrigin> }>()
  for (const { orderLineId, from } of plan.deliveries) {
    if (unserved.has(orderLineId)) continue
    const known = lines.get(orderLineId)?.from ?? new Set<BeerOrigin>()
    for (const { fillRunId } of from) known.add(sourceOf(fillRunId))
    lines.set(orderLineId, { onTime: !late.has(orderLineId), from: known })
  }
  return lines
}

describe.each(TODAYS)('the plan of the demo on %s', (today) => {
  const { problem } = demoScenario(today)
  let plan: Plan
  let lines: ReturnType<typeof served>
  beforeAll(() => {
    plan = makePlan(problem, { steps: STEPS }).plan
    lines = served({ problem, plan })
  })
  const key = (name: keyof typeof KEY_ORDERS) => `${KEY_ORDERS[name]}/1`

  it('serves on time from stock, from ready batches, from fermenting ones, and from new brews alone', () => {
    for (const source of ['STOCK', 'READY_BATCH', 'FERMENTING_BATCH', 'NEW_BREW'] as const) {
      const some = [...lines.values()].filter(({ onTime, from }) => onTime && from.size === 1 && from.has(source))
      expect(some.length, source).toBeGreaterThan(0)
    }
  })

  it('serves the key orders from where they say', () => {
    expect(lines.get(key('fromStock'))).toEqual({ onTime: true, from: new Set(['STOCK']) })
    expect(lines.get(key('fromFermentingBatch'))).toEqual({ onTime: true, from: new Set(['FERMENTING_BATCH']) })
    expect(lines.get(key('onlyByNewBrew'))).toEqual({ onTime: true, from: new Set(['NEW_BREW']) })
    expect(lines.get(key('festival'))?.onTime).toBe(true)
  })

  it('is late with what no plan can have in time, and says so', () => {
    const late = new Set(plan.late?.map((line) => line.orderLineId))
    for (const name of [
      'lateTankNotReady',
      'lateCleanFirkins',
      'lateFillerMinutes',
      'lateRoute',
      'lateQuarantine',
    ] as const) {
      expect(late.has(key(name)), name).toBe(true)
    }
    expect(plan.brokenPromises?.map((line) => line.orderLineId)).toContain(key('lateTankNotReady'))
  })

  it('does not serve what no plan can serve', () => {
    const unserved = new Set(plan.unserved.map((line) => line.orderLineId))
    for (const name of ['unservedPrimingWindow', 'unservedNoTimeToBrew', 'unservedVanTooSmall'] as const) {
      expect(unserved.has(key(name)), name).toBe(true)
    }
  })

  it('gives the reasons that the arithmetic of the key orders has', () => {
    const rules = new Map(
      [...plan.unserved, ...(plan.late ?? [])].map((line) => [line.orderLineId, line.reasons.map(({ rule }) => rule)]),
    )
    expect(rules.get(key('lateCleanFirkins'))).toContain('C1')
    expect(rules.get(key('lateFillerMinutes'))).toContain('L1')
    expect(rules.get(key('lateRoute'))).toContain('B2')
    expect(rules.get(key('unservedVanTooSmall'))).toContain('D1')
  })

  it('serves at least nine lines out of ten on time', () => {
    const onTime = [...lines.values()].filter((line) => line.onTime).length
    expect(onTime / problem.orderLines.length).toBeGreaterThan(0.9)
  })
})
