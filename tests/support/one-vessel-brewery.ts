// The smallest brewery on which optima can be worked out by hand: one site that works every day, one fermenter, one
// filler, one beer in one cask of 40 litres that is fit after a day and settles for another, one route every day.

import type { OrderLine, Problem, ProblemDocument } from '../../src/planner/documents/index.ts'
import { addDays, lineWithDefaults, withDefaults } from '../../src/planner/documents/index.ts'

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]

/** The date of day `n`; today is day 0. */
export function day(n: number): string {
  return addDays('2027-06-07', n)
}

/** An order line of that many casks; everything else as usual. */
export function order(id: string, quantity: number, serveOn: number, more: Partial<OrderLine> = {}): OrderLine {
  return lineWithDefaults({
    id,
    orderId: id,
    accountId: 'inn',
    packId: 'cask',
    quantity,
    serveOn: day(serveOn),
    ...more,
  })
}

/** The brewery with a ready batch of 200 litres and no orders; brewed today, a beer is ready on day 5. */
export function oneVesselBrewery(change: Partial<ProblemDocument> = {}): Problem {
  return withDefaults({
    today: day(0),
    horizonDays: 14,
    sites: [
      {
        id: 'yard',
        timeZone: 'UTC',
        brewWeekdays: EVERY_DAY,
        fillWeekdays: EVERY_DAY,
        brewsPerDay: 4,
        brewLitres: 250,
        brewEnds: '16:00',
        fillStarts: '08:00',
      },
    ],
    vessels: [
      { id: 'tank', siteId: 'yard', kind: 'FERMENTER', capacityLitres: 500, minFillLitres: 100, turnaroundDays: 0 },
    ],
    fillers: [{ id: 'filler', siteId: 'yard', minutesPerDay: 480, setupMinutes: 0, minutesEach: { forty: 5 } }],
    stores: [],
    fleets: [],
    beers: [
      {
        id: 'mild',
        style: 'Mild',
        fermentHours: 72,
        restHours: 0,
        dryHopHours: 0,
        crashHours: 40, // 112 hours after 16:00 it is 08:00, on the fifth day
        maxTankDays: 30,
        brightDays: 0,
        maxBrightDays: 10,
        lossFraction: 0.2,
        packs: [
          {
            id: 'cask',
            containerTypeId: 'forty',
            drawFrom: 'FERMENTER',
            conditioningDays: 1,
            settleDays: 1,
            shelfLifeDays: 40,
          },
        ],
      },
    ],
    containerTypes: [{ id: 'forty', kind: 'CASK', nominalLitres: 40 }],
    routes: [{ id: 'van', siteId: 'yard', weekdays: EVERY_DAY, transitDays: 0 }],
    accounts: [{ id: 'inn', routeIds: ['van'] }],
    batches: [{ id: 'gyle', beerId: 'mild', vesselId: 'tank', litres: 200, readyAt: '2027-06-06T06:00:00Z' }],
    stock: [],
    orderLines: [],
    ...change,
  })
}

/** The brewery with a bright vessel of 100 to 300 litres, and a keg of 50 litres that is fit two days after a transfer. */
export function brightVesselBrewery(change: Partial<ProblemDocument> = {}): Problem {
  const problem = oneVesselBrewery(change)
  problem.vessels.push({
    id: 'bright',
    siteId: 'yard',
    kind: 'BRIGHT',
    capacityLitres: 300,
    minFillLitres: 100,
    turnaroundDays: 0,
    outOfService: [],
  })
  problem.containerTypes.push({ id: 'fifty', kind: 'KEG', nominalLitres: 50, overfillFraction: 0 })
  problem.fillers[0]!.minutesEach.fifty = 5
  const beer = problem.beers[0]!
  beer.brightDays = 2
  beer.packs.push({
    id: 'keg',
    containerTypeId: 'fifty',
    drawFrom: 'BRIGHT',
    conditioningDays: 0,
    conditionIn: 'COLD',
    settleDays: 0,
    shelfLifeDays: 80,
    primed: false,
  })
  return problem
}
