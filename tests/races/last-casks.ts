// A brewery with forty casks left: no more of the beer can be had before a brew that takes most of two weeks.
import { addDays } from '../../src/planner/days.ts'
import { makePlan } from '../../src/planner/index.ts'
import type { Problem } from '../../src/planner/problem.ts'
import type { Scenario } from '../../src/records/scenario.ts'

/** Casks in stock. */
export const CASKS = 40

const WEEK = [1, 2, 3, 4, 5, 6, 7]
const ACCOUNTS = 25

/** The wanted day: long before a brew could be served. */
export function wantedDay(today: string): string {
  return addDays(today, 4)
}

/** Accounts by the reference that customers name. */
export function accountRef(customer: number): string {
  return `account-${customer % ACCOUNTS}`
}

/** The records on a day, with an empty plan in force. */
export function lastCasks(today: string): Scenario {
  const problem: Problem = {
    today,
    horizonDays: 42,
    sites: [
      {
        id: 'yard',
        timeZone: 'Europe/London',
        brewWeekdays: WEEK,
        fillWeekdays: WEEK,
        brewsPerDay: 1,
        brewEnds: '16:00',
        fillStarts: '08:00',
      },
    ],
    vessels: [
      { id: 'FV', siteId: 'yard', kind: 'FERMENTER', capacityLitres: 2500, minFillLitres: 400, turnaroundDays: 1 },
    ],
    fillers: [{ id: 'racking', siteId: 'yard', minutesPerDay: 480, setupMinutes: 20, minutesEach: { firkin: 5 } }],
    stores: [{ siteId: 'yard', climate: 'COLD', capacityLitres: 20_000 }],
    fleets: [{ siteId: 'yard', containerTypeId: 'firkin', cleanNow: 300 }],
    beers: [
      {
        id: 'bitter',
        style: 'bitter',
        fermentHours: 120,
        restHours: 48,
        dryHopHours: 0,
        crashHours: 48,
        maxTankDays: 20,
        brightDays: 0,
        maxBrightDays: 0,
        lossFraction: 0.05,
        packs: [
          {
            id: 'bitter-firkin',
            containerTypeId: 'firkin',
            drawFrom: 'FERMENTER',
            conditioningDays: 3,
            settleDays: 1,
            shelfLifeDays: 40,
          },
        ],
      },
    ],
    containerTypes: [{ id: 'firkin', kind: 'CASK', nominalLitres: 40.9 }],
    routes: [{ id: 'van', siteId: 'yard', weekdays: WEEK, transitDays: 0 }],
    accounts: Array.from({ length: ACCOUNTS }, (_, index) => ({ id: accountRef(index), routeIds: ['van'] })),
    batches: [],
    stock: [
      {
        id: 'lot',
        siteId: 'yard',
        packId: 'bitter-firkin',
        quantity: CASKS,
        filledOn: addDays(today, -4),
        readyOn: addDays(today, -1),
        bestBefore: addDays(today, 36),
      },
    ],
    orderLines: [],
  }
  const named = (ids: readonly string[]) => Object.fromEntries(ids.map((id) => [id, { name: id, externalRef: id }]))
  return {
    distributor: { name: 'Cooper Yard', timeZone: 'Europe/London' },
    problem: { ...problem, baseline: makePlan(problem, { steps: 0 }).plan },
    names: { packs: named(['bitter-firkin']), accounts: named(problem.accounts.map(({ id }) => id)) },
  }
}
