// Events that befall a plan: what happened becomes fact, to the litre and the container; the plan becomes the baseline.
import { describe, expect, it } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../seeds/baseline-event.ts'
import { advance, remainder } from '../../seeds/generator/advance.ts'
import { PROBLEM_KINDS, randomProblem } from '../../seeds/random-problem.ts'
import { checkPlan } from '../../src/planner/checker/check-plan.ts'
import { DEFAULT_COSTS, type Plan, type Problem, withDefaults } from '../../src/planner/documents/index.ts'
import { makePlan, parseProblem } from '../../src/planner/index.ts'

/** Two tanks, one of them with 400 L that are ready; one filler, six clean firkins, two lots, two orders. */
const PROBLEM: Problem = withDefaults({
  today: '2027-03-01',
  horizonDays: 28,
  sites: [
    {
      id: 'site',
      timeZone: 'Europe/London',
      brewWeekdays: [1, 2, 3, 4, 5],
      fillWeekdays: [1, 2, 3, 4, 5],
      brewsPerDay: 1,
      brewEnds: '16:00',
      fillStarts: '08:00',
    },
  ],
  vessels: [
    { id: 'one', siteId: 'site', kind: 'FERMENTER', capacityLitres: 500, minFillLitres: 100, turnaroundDays: 1 },
    { id: 'two', siteId: 'site', kind: 'FERMENTER', capacityLitres: 500, minFillLitres: 100, turnaroundDays: 1 },
    { id: 'bright', siteId: 'site', kind: 'BRIGHT', capacityLitres: 500, minFillLitres: 10, turnaroundDays: 1 },
  ],
  fillers: [
    {
      id: 'filler',
      siteId: 'site',
      minutesPerDay: 400,
      setupMinutes: 10,
      setupLossLitres: 3,
      minutesEach: { firkin: 2 },
    },
  ],
  stores: [],
  fleets: [
    {
      siteId: 'site',
      containerTypeId: 'firkin',
      cleanNow: 6,
      returns: [
        { on: '2027-02-28', quantity: 5 },
        { on: '2027-03-01', quantity: 4 },
        { on: '2027-03-09', quantity: 7 },
      ],
      washDays: 1,
    },
  ],
  beers: [
    {
      id: 'beer',
      style: 'Pale',
      fermentHours: 96,
      restHours: 24,
      dryHopHours: 0,
      crashHours: 48,
      maxTankDays: 14,
      brightDays: 0,
      maxBrightDays: 14,
      lossFraction: 0.1,
      packs: [
        {
          id: 'cask',
          containerTypeId: 'firkin',
          drawFrom: 'FERMENTER',
          conditioningDays: 1,
          settleDays: 1,
          shelfLifeDays: 30,
        },
      ],
    },
  ],
  containerTypes: [{ id: 'firkin', kind: 'CASK', nominalLitres: 40 }],
  routes: [{ id: 'route', siteId: 'site', weekdays: [1, 2, 3, 4, 5], transitDays: 0 }],
  accounts: [{ id: 'pub', routeIds: ['route'], returnDays: 5 }],
  batches: [{ id: 'ready', beerId: 'beer', vesselId: 'one', litres: 400, readyAt: '2027-03-01T07:00:00+00:00' }],
  stock: [
    {
      id: 'old',
      siteId: 'site',
      packId: 'cask',
      quantity: 2,
      filledOn: '2027-01-29',
      readyOn: '2027-01-30',
      bestBefore: '2027-02-28',
    },
    {
      id: 'fresh',
      siteId: 'site',
      packId: 'cask',
      quantity: 3,
      filledOn: '2027-02-26',
      readyOn: '2027-02-27',
      bestBefore: '2027-03-28',
    },
  ],
  orderLines: [
    { id: 'a/1', orderId: 'a', accountId: 'pub', packId: 'cask', quantity: 3, serveOn: '2027-03-03' },
    { id: 'b/1', orderId: 'b', accountId: 'pub', packId: 'cask', quantity: 5, serveOn: '2027-03-20', splittable: true },
  ],
})

/** 5 firkins on Monday, 1 on Tuesday, the rest into the bright vessel; a brew on Monday; order a leaves on Tuesday. */
const PLAN: Plan = {
  brews: [{ id: 'brew-1', beerId: 'beer', vesselId: 'two', brewOn: '2027-03-01', litres: 300 }],
  transfers: [{ id: 'transfer-1', batchId: 'ready', toVesselId: 'bright', on: '2027-03-02', litres: 154 }],
  fillRuns: [
    { id: 'run-1', batchId: 'ready', fillerId: 'filler', on: '2027-03-01', packId: 'cask', quantity: 5 },
    { id: 'run-2', batchId: 'ready', fillerId: 'filler', on: '2027-03-02', packId: 'cask', quantity: 1 },
  ],
  deliveries: [
    {
      orderLineId: 'a/1',
      routeId: 'route',
      dispatchOn: '2027-03-02',
      serveOn: '2027-03-03',
      from: [
        { stockLotId: 'fresh', quantity: 2 },
        { fillRunId: 'run-1', quantity: 1 },
      ],
    },
    {
      orderLineId: 'b/1',
      routeId: 'route',
      dispatchOn: '2027-03-19',
      serveOn: '2027-03-20',
      from: [{ fillRunId: 'run-1', quantity: 4 }],
    },
  ],
  dumped: [
    { batchId: 'ready', on: '2027-03-16', litres: 154 },
    { batchId: 'brew-1', on: '2027-03-23', litres: 270 },
  ],
  unserved: [{ orderLineId: 'b/1', quantity: 1, reasons: [{ rule: 'C1', code: 'NO_CLEAN_CONTAINERS' }] }],
  cost: { total: 0, terms: { ...DEFAULT_COSTS } },
}

/** What the checker finds, the stated cost aside. */
function problemsWith(problem: Problem, plan: Plan) {
  return checkPlan(problem, { ...plan, cost: checkPlan(problem, plan).cost }).violations
}

describe('time that passes', () => {
  const after = advance(PROBLEM, PLAN, 2)

  it('leaves the rest of a valid plan valid, by the checker', () => {
    expect(problemsWith(PROBLEM, PLAN)).toEqual([])
    for (let days = 1; days <= 25; days++) {
      const later = advance(PROBLEM, PLAN, days)
      expect(problemsWith(later, remainder(PLAN, later)), `after ${days} days`).toEqual([])
    }
  })

  it('comes to the same in one step as in two', () => {
    for (let days = 2; days <= 20; days++) {
      const halfway = advance(PROBLEM, PLAN, 1)
      expect(advance(halfway, remainder(PLAN, halfway), days - 1)).toEqual(advance(PROBLEM, PLAN, days))
    }
  })

  it('turns a brew into a batch without its yeast and trub, ready when its stages end', () => {
    // 300 L x 0.9 = 270 L; 1 March 16:00 + 168 h = 8 March 16:00.
    expect(after.batches).toContainEqual(
      expect.objectContaining({
        id: 'brew-1',
        beerId: 'beer',
        vesselId: 'two',
        litres: 270,
        readyAt: '2027-03-08T16:00:00+00:00',
      }),
    )
  })

  it('takes what was filled, and lost at each set-up, from the batch, and moves it with its transfer', () => {
    // 400 - 6 x 40 - 2 set-ups x 3 = 154 L. Not opened yet: it was drawn from the vessel before.
    expect(after.batches).toContainEqual(
      expect.objectContaining({
        id: 'ready',
        beerId: 'beer',
        vesselId: 'bright',
        litres: 154,
        readyAt: '2027-03-01T07:00:00+00:00',
        transferredOn: '2027-03-02',
      }),
    )
    expect(after.vessels.find((vessel) => vessel.id === 'one')?.availableFrom).toBe('2027-03-04')
  })

  it('leaves in stock what was filled and not dispatched, and empties what was past its best before', () => {
    expect(after.stock.map((lot) => [lot.id, lot.quantity, lot.bestBefore])).toEqual([
      ['fresh', 1, '2027-03-28'],
      ['run-1', 4, '2027-03-31'],
      ['run-2', 1, '2027-04-01'],
    ])
  })

  it('counts clean containers: filled ones go, washed ones come, later ones are listed', () => {
    // 6 - 6 filled + 4 back on 1 March + 2 emptied on 1 March, both clean on the 2nd; the 5 of 28 February were in the 6.
    // On the way: 3 of order a, served on 3 March, back 5 days later; 7 on 9 March.
    expect(after.fleets[0]).toMatchObject({
      cleanNow: 6,
      returns: [
        { on: '2027-03-08', quantity: 3 },
        { on: '2027-03-09', quantity: 7 },
      ],
    })
  })

  it('takes dispatched lines off the orders, and changes nothing of what the plan still has before it', () => {
    expect(after.orderLines.map((line) => line.id)).toEqual(['b/1'])
    expect(after.today).toBe('2027-03-03')
  })
})

describe('time that passes over plans of random problems', () => {
  it('leaves the rest of each plan valid, by the checker', () => {
    for (let seed = 0; seed < 2 * PROBLEM_KINDS.length; seed++) {
      const problem = randomProblem(seed)
      const { plan } = makePlan(problem, { steps: 30 })
      for (const days of [1, 2, 5]) {
        if (days >= problem.horizonDays) continue
        // The horizon ends where it ended: the plan decides nothing on the days that a longer one would add.
        const later = { ...advance(problem, plan, days), horizonDays: problem.horizonDays - days }
        // What the plan says of its lines (B5, E1, F2) is as of the earlier day.
        const found = problemsWith(later, remainder(plan, later)).filter(
          ({ rule }) => !['B5', 'E1', 'F2'].includes(rule),
        )
        expect(found, `seed ${seed} after ${days} days`).toEqual([])
      }
    }
  })
})

describe('random events', () => {
  it('give valid problems with the plan as their baseline, the same for the same seed', () => {
    for (const event of BASELINE_EVENTS) {
      for (let seed = 0; seed < 20; seed++) {
        const after = randomBaselineEvent(PROBLEM, PLAN, seed, event)
        expect(parseProblem(after), `${event} ${seed}`).toMatchObject({ ok: true })
        expect(after.baseline?.brews.map((brew) => brew.id)).toEqual(['brew-1'])
        expect(randomBaselineEvent(PROBLEM, PLAN, seed, event)).toStrictEqual(after)
      }
    }
  })

  it('change the problem as they say', () => {
    const outcomes = (event: (typeof BASELINE_EVENTS)[number]) =>
      Array.from({ length: 10 }, (_, seed) => randomBaselineEvent(PROBLEM, PLAN, seed, event))
    for (const problem of outcomes('VESSEL_OUT'))
      expect(problem.vessels.some((vessel) => vessel.outOfService)).toBe(true)
    for (const problem of outcomes('NEW_ORDERS')) {
      expect(problem.orderLines.filter((line) => line.orderId.startsWith('new-'))).toHaveLength(10)
    }
    for (const problem of outcomes('FLEET_SHORT')) expect(problem.fleets[0]!.cleanNow).toBeLessThanOrEqual(3)
    for (const problem of outcomes('CANCELLED_ORDER')) expect(problem.orderLines.length).toBeLessThan(2)
    for (const problem of outcomes('TIME_PASSES')) expect(problem.today > PROBLEM.today).toBe(true)
    expect(
      outcomes('LATE_BATCH').some((problem) => problem.batches.some((batch) => batch.readyAt.startsWith('2027-03-04'))),
    ).toBe(true)
  })
})
