// What the rules allow at their edges: the checker accepts it. And costs of special cases, worked out by hand.
import { describe, expect, it } from 'vitest'
import { checkPlan, planCost } from '../../../src/planner/checker/check-plan.ts'
import type { Plan, Problem, Reason } from '../../../src/planner/documents/index.ts'
import { basePlan } from '../base/base-plan.ts'
import { baseProblem, d } from '../base/base-problem.ts'

type Change = (plan: Plan, problem: Problem) => void

function changed(change: Change): { plan: Plan; problem: Problem } {
  const problem = baseProblem()
  const plan = basePlan()
  change(plan, problem)
  return { plan, problem }
}

/** Violations after a change, as `rule day`; the cost is stated anew. */
function brokenBy(change: Change): string[] {
  const { plan, problem } = changed(change)
  plan.cost = planCost(problem, plan)
  return checkPlan(problem, plan).violations.map(({ rule, day }) => (day ? `${rule} ${day}` : rule))
}

const why: Reason[] = [{ rule: 'V3', code: 'NO_VESSEL_FREE' }]

const ALLOWED: [string, Change][] = [
  ['a fermenter that may be emptied after the horizon', (_, p) => Object.assign(p.beers[0]!, { maxTankDays: 13 })],
  ['a litre count within a thousandth', (plan) => Object.assign(plan.dumped[1]!, { litres: 12.4009 })],
  [
    'a brew that is a thousandth over a whole number of brews',
    (plan) => Object.assign(plan.brews[0]!, { litres: 2000.0009 }),
  ],
  [
    'an order that comes on the minute of the cut-off',
    (_, p) => {
      p.routes[0]!.cutOff = { daysBefore: 1, at: '14:30' }
      p.orderLines[0]!.placedAt = `${d(7)}T14:30:00Z`
    },
  ],
  [
    'a moved frozen decision for a reason',
    (plan, p) => {
      p.baseline!.fillRuns[1]!.quantity = 12
      plan.moved = [{ kind: 'FILL_RUN', id: 'R1', reasons: why }]
    },
  ],
  [
    'a frozen decision that is dropped for a reason',
    (plan, p) => {
      p.baseline!.fillRuns.push({
        id: 'R8',
        batchId: 'B7',
        fillerId: 'line',
        on: d(0),
        packId: 'pale-cask',
        quantity: 3,
      })
      plan.moved = [{ kind: 'FILL_RUN', id: 'R8', reasons: why }]
    },
  ],
  [
    'a fixed decision drawn into the frozen days for a reason',
    (plan, p) => {
      Object.assign(p.baseline!.fillRuns[1]!, { on: d(5), fixed: true })
      plan.moved = [{ kind: 'FILL_RUN', id: 'R1', reasons: why }]
    },
  ],
  [
    'a moved decision that was neither frozen nor fixed, listed as well',
    (plan) => {
      plan.moved = [{ kind: 'BREW', id: 'P2', reasons: why }]
    },
  ],
  [
    'anything on frozen days without a baseline',
    (_, p) => {
      delete p.baseline
    },
  ],
  [
    'a store that today’s stock over-fills while the plan keeps out of it',
    (_, p) => {
      p.stores[2]!.capacityLitres = 100 // six casks stand at the coast, and the plan fills none there
    },
  ],
  [
    'no limit where there is no store and no fleet',
    (_, p) => {
      p.stores = []
      p.fleets = []
    },
  ],
  [
    'a promised line that is served after its serve day and by its promise, listed as late or not',
    (plan, p) => {
      p.orderLines[4]!.serveOn = d(16)
      plan.late!.push({ orderLineId: 'l5', reasons: why })
    },
  ],
  [
    'the same, not listed as late',
    (_, p) => {
      p.orderLines[4]!.serveOn = d(16)
    },
  ],
  [
    'an overdue batch at a site that does not fill within the horizon',
    (_, p) => {
      p.vessels.push({
        id: 'CV',
        siteId: 'coast',
        kind: 'FERMENTER',
        capacityLitres: 500,
        minFillLitres: 0,
        turnaroundDays: 0,
        outOfService: [],
      })
      const standing = { primable: true, quarantined: false, readyAt: '2026-12-01T00:00:00Z' }
      p.batches.push({ id: 'B4', beerId: 'pale', vesselId: 'CV', litres: 90, ...standing })
    },
  ],
  [
    'an overdue batch that is emptied on the first fill day',
    (_, p) => {
      Object.assign(p.batches[1]!, { transferredOn: d(-20) })
      p.sites[0]!.fillWeekdays = [2, 3, 4, 5] // not on Monday, d0: Tuesday, d1, is the first
    },
  ],
  [
    'a container type that is called like a property of every object',
    (_, p) => {
      p.containerTypes[1]!.id = 'constructor'
      p.beers[0]!.packs[2]!.containerTypeId = 'constructor'
      p.fleets[1]!.containerTypeId = 'constructor'
      p.fillers[0]!.minutesEach = { firkin: 5, constructor: 3 }
    },
  ],
  [
    'casks that come back from accounts and are washed in time for the next fill',
    (_, p) => {
      // Five clean on d21, eleven needed on d29: ten come back to the hill three days after d11, two more days washing.
      p.stock = p.stock.filter(({ id }) => id !== 'K2')
    },
  ],
  [
    'casks emptied past their best that are washed in time for the next fill',
    (_, p) => {
      // Without returns from accounts: 5 clean, and those of K2, best before d20, emptied on d21, washed by d23.
      p.accounts[0]!.returnDays = undefined
      p.stock[1]!.quantity = 6
      p.stores[1]!.capacityLitres += 120
    },
  ],
  [
    'a vessel of which the last beer is drawn on the day before it goes out of service',
    (_, p) => {
      p.vessels[3]!.outOfService = [{ from: d(12), to: d(14) }]
    },
  ],
  [
    'beer that stands today in a vessel that is out of service',
    (_, p) => {
      p.vessels[1]!.outOfService = [{ from: d(-5), to: d(30) }]
    },
  ],
]

describe('what the rules allow', () => {
  it.each(ALLOWED)('accepts %s', (_name, change) => {
    expect(brokenBy(change)).toEqual([])
  })

  it('misses exactly the casks that no account gives back and no one empties', () => {
    const noReturns: Change = (_, p) => {
      p.accounts[0]!.returnDays = undefined
      p.stock[1]!.quantity = 5 // 5 + 5 of the 11 for d29
      p.stores[1]!.capacityLitres += 120
    }
    expect(brokenBy(noReturns)).toEqual([`C1 ${d(29)}`])
  })

  it('lets nothing planned stand in a store on exactly the days on which stock over-fills it', () => {
    // K2, 45 casks: 1800 L of 1760 from d0 to its last day, d20. The plan’s own beer is in the cold on d1 to d17, and
    // what is left of it stands there until the end.
    const overfull: Change = (_, p) => Object.assign(p.stock[1]!, { quantity: 45 })
    const days = Array.from({ length: 20 }, (_, i) => i + 1).filter((day) => day !== 3 && day !== 8)
    expect(brokenBy(overfull)).toEqual(days.map((day) => `S1 ${d(day)}`))
  })
})

describe('the cost of special cases', () => {
  const term = (change: Change, name: keyof Plan['cost']['terms']) => {
    const { plan, problem } = changed(change)
    return planCost(problem, plan).terms[name] - basePlan().cost.terms[name]
  }

  it('counts stock that is good to the last day of the horizon as unsold, and a day less as dumped', () => {
    const bestBefore =
      (day: number): Change =>
      (_, p) =>
        Object.assign(p.stock[1]!, { bestBefore: d(day) })
    // three casks of 40 L leave `dumped` at 5 and join `unsold` at 2
    expect(term(bestBefore(40), 'dumped')).toBeCloseTo(0)
    expect(term(bestBefore(41), 'dumped')).toBeCloseTo(-120 * 5)
    expect(term(bestBefore(41), 'unsold')).toBeCloseTo(120 * 2)
  })

  it('weighs unpromised lines by priority and promised ones not', () => {
    // l10, 80 L: from priority 3, weight 1, to priority 1, weight 4
    expect(term((_, p) => Object.assign(p.orderLines[9]!, { priority: 1 }), 'unserved')).toBeCloseTo(80 * 3 * 20)
    const promise: Change = (_, p) => Object.assign(p.orderLines[9]!, { priority: 1, promisedOn: d(2) })
    expect(term(promise, 'unserved')).toBeCloseTo(-80 * 20)
    expect(term(promise, 'unservedPromised')).toBeCloseTo(80 * 200)
  })

  it('takes the costs that the problem gives, and the defaults beside them', () => {
    const costs: Change = (_, p) => Object.assign(p, { costs: { brew: 7, churn: 0 } })
    expect(term(costs, 'brew')).toBeCloseTo(3 * 7 - 300)
    expect(term(costs, 'churn')).toBeCloseTo(-50)
    expect(term(costs, 'drop')).toBeCloseTo(0)
  })

  it('counts one brew where a site has no limit to it', () => {
    expect(term((_, p) => Object.assign(p.sites[0]!, { brewLitres: undefined }), 'brew')).toBeCloseTo(-100)
  })

  it('counts no churn for another quantity or volume', () => {
    const more: Change = (_, p) => {
      p.baseline!.fillRuns[1]!.quantity = 3
      p.baseline!.brews[0]!.litres = 700
      p.baseline!.transfers[0]!.litres = 1
    }
    expect(term(more, 'churn')).toBeCloseTo(0)
    expect(term((_, p) => Object.assign(p.baseline!.transfers[0]!, { toVesselId: 'BT2' }), 'churn')).toBeCloseTo(25)
    expect(term((_, p) => Object.assign(p.baseline!.brews[0]!, { beerId: 'dark' }), 'churn')).toBeCloseTo(25)
    expect(term((_, p) => Object.assign(p.baseline!.fillRuns[2]!, { fillerId: 'old line' }), 'churn')).toBeCloseTo(25)
  })

  it('counts one drop for two routes of one day to one account', () => {
    const onCart: Change = (plan, p) => {
      p.routes[1]!.weekdays = [4] // l9 leaves on d10 as l2 does
      plan.deliveries.find(({ orderLineId }) => orderLineId === 'l9')!.dispatchOn = d(10)
    }
    expect(term(onCart, 'drop')).toBeCloseTo(-5)
  })
})
