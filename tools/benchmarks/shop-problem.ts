// What the mapped instances share: one site that works every day, one filler, one account on a route that leaves every
// day, containers that are fit at once; each item is a beer that stands ready, and more of it than anyone can want.

import type {
  BeerDocument,
  ContainerTypeDocument,
  Costs,
  FillerDocument,
  OrderLineDocument,
  PackDocument,
  Problem,
} from '../../src/planner/documents/index.ts'
import { addDays, withDefaults } from '../../src/planner/documents/index.ts'

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]
/** As long as a problem may say; past any horizon. */
const NEVER_DAYS = 10_000
const TODAY = '2027-03-01'

/** The date of day `n`, today being day 0. */
export function shopDay(n: number): string {
  return addDays(TODAY, n)
}

/** A beer that never has to leave its vessel. */
export function shopBeer(
  id: string,
  packIds: readonly string[],
  more: Pick<BeerDocument, 'setupWeight'> = {},
): BeerDocument {
  return {
    id,
    style: id,
    fermentHours: 0,
    restHours: 0,
    dryHopHours: 0,
    crashHours: 0,
    maxTankDays: NEVER_DAYS,
    brightDays: 0,
    maxBrightDays: NEVER_DAYS,
    lossFraction: 0,
    packs: packIds.map(
      (packId): PackDocument => ({
        id: packId,
        containerTypeId: packId,
        drawFrom: 'FERMENTER',
        conditioningDays: 0,
        settleDays: 0,
        shelfLifeDays: NEVER_DAYS,
      }),
    ),
    ...more,
  }
}

/** The problem of such a shop; container types have the ids of their packs. Costs that are not given are 0. */
export function shopProblem(parts: {
  horizonDays: number
  beers: BeerDocument[]
  containerTypes: ContainerTypeDocument[]
  filler: Pick<FillerDocument, 'minutesPerDay' | 'setupMinutes' | 'minutesEach'>
  orderLines: OrderLineDocument[]
  costs: Partial<Costs>
}): Problem {
  const litresEach = new Map(parts.containerTypes.map((type) => [type.id, type.nominalLitres]))
  const ordered = parts.orderLines.reduce(
    (sum, { packId, quantity }) => sum + quantity * (litresEach.get(packId) ?? 0),
    0,
  )
  const litres = 2 * ordered + 1
  return withDefaults({
    today: TODAY,
    horizonDays: parts.horizonDays,
    sites: [
      {
        id: 'shop',
        timeZone: 'UTC',
        brewWeekdays: EVERY_DAY,
        fillWeekdays: EVERY_DAY,
        brewsPerDay: 0,
        brewEnds: '12:00',
        fillStarts: '12:00',
      },
    ],
    vessels: parts.beers.map(({ id }) => ({
      id: `vessel-${id}`,
      siteId: 'shop',
      kind: 'FERMENTER',
      capacityLitres: litres,
      minFillLitres: 0,
      turnaroundDays: 0,
    })),
    fillers: [{ id: 'filler', siteId: 'shop', ...parts.filler }],
    stores: [],
    fleets: [],
    beers: parts.beers,
    containerTypes: parts.containerTypes,
    routes: [{ id: 'route', siteId: 'shop', weekdays: EVERY_DAY, transitDays: 0 }],
    accounts: [{ id: 'account', routeIds: ['route'] }],
    batches: parts.beers.map(({ id }) => ({
      id: `batch-${id}`,
      beerId: id,
      vesselId: `vessel-${id}`,
      litres,
      readyAt: `${TODAY}T00:00:00Z`,
    })),
    stock: [],
    orderLines: parts.orderLines,
    costs: {
      unservedPromised: 0,
      latePromised: 0,
      late: 0,
      dumped: 0,
      unsold: 0,
      brew: 0,
      setup: 0,
      drop: 0,
      standing: 0,
      churn: 0,
      ...parts.costs,
    },
  })
}
