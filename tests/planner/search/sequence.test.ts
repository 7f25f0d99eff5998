// Lines of a filler in another order: what they draw, with the set-ups of every day on which they draw it, is there.
import { expect, it } from 'vitest'
import { addDays, withDefaults } from '../../../src/planner/documents/index.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { seeded } from '../../../src/planner/model/random.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { LITRE, SLACK } from '../../../src/planner/model/units.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { construct } from '../../../src/planner/search/construct.ts'
import { resequence } from '../../../src/planner/search/sequence.ts'

const TODAY = '2027-03-01'
const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]
const CASK = 40
const SET_UP = 5

/** One batch for two lines of six late casks, each filled in one day; the filler does six casks on a day, on the second day two. */
const problem = withDefaults({
  ...{ today: TODAY, horizonDays: 12 },
  sites: [
    {
      ...{ id: 'yard', timeZone: 'Etc/UTC', brewWeekdays: EVERY_DAY, fillWeekdays: EVERY_DAY, brewsPerDay: 1 },
      ...{ brewEnds: '16:00', fillStarts: '08:00' },
    },
  ],
  vessels: [
    { id: 'FV', siteId: 'yard', kind: 'FERMENTER', capacityLitres: 1000, minFillLitres: 900, turnaroundDays: 1 },
  ],
  fillers: [
    {
      ...{ id: 'rack', siteId: 'yard', minutesPerDay: 70, minutesOn: { [addDays(TODAY, 1)]: 30 } },
      ...{ setupMinutes: 10, setupLossLitres: SET_UP, minutesEach: { cask: 10 } },
    },
  ],
  ...{ stores: [], fleets: [], stock: [] },
  beers: [
    {
      ...{ id: 'ale', style: 'Bitter', fermentHours: 96, restHours: 24, dryHopHours: 0, crashHours: 48 },
      ...{ maxTankDays: 20, brightDays: 1, maxBrightDays: 10, lossFraction: 0 },
      packs: [
        {
          ...{ id: 'ale-cask', containerTypeId: 'cask', drawFrom: 'FERMENTER', conditioningDays: 0 },
          ...{ settleDays: 0, shelfLifeDays: 30 },
        },
      ],
    },
  ],
  containerTypes: [{ id: 'cask', kind: 'CASK', nominalLitres: CASK }],
  routes: [{ id: 'van', siteId: 'yard', weekdays: EVERY_DAY, transitDays: 0 }],
  accounts: [{ id: 'pub', routeIds: ['van'] }],
  batches: [
    {
      ...{ id: 'batch', beerId: 'ale', vesselId: 'FV', litres: 12 * CASK + 2 * SET_UP },
      readyAt: `${TODAY}T06:00:00Z`,
    },
  ],
  orderLines: [6, 6].map((quantity, index) => ({
    ...{ id: `line-${index}`, orderId: `order-${index}`, accountId: 'pub', packId: 'ale-cask', quantity },
    serveOn: TODAY,
  })),
})

it('no more is drawn than there is, whatever the order', () => {
  const state = openState(compile(problem))
  construct(state, 0)
  let tried = 0
  for (let seed = 1; seed <= 50; seed++) {
    const log = new UndoLog(state)
    if (resequence(log, seeded(seed))) tried++
    for (const batch of state.touched)
      if (batch.standing >= 0) expect(batch.fromFermenter).toBeLessThanOrEqual((12 * CASK + 2 * SET_UP) * LITRE + SLACK)
    log.undo()
  }
  expect(tried).toBeGreaterThan(10)
})
