// A season of the demo's brewery through the API alone: whatever goes wrong, every evening the plan in force is valid for the
// records, what people said is there, the ledger gives the tables, and who said a fact heard at once which promises it breaks.
import { describe, expect, test } from 'vitest'
import { Season, type SeasonOptions } from '../../../tools/seasons/season.ts'
import { emptyDatabase, openTestDatabase } from '../../support/database.ts'
import { LONG, sampled, WHOLE } from '../../support/sampled.ts'

const { client, clock, pool } = await openTestDatabase()

/** From a Monday on, with Easter in the third week. */
const FIRST_DAY = '2027-03-08'

type Kind = Pick<SeasonOptions, 'brewery' | 'days' | 'unsaidWork'>

/** Lives through a season on an empty database, and answers what there is to say of it. */
async function lived(options: Kind & Partial<SeasonOptions>): Promise<Season> {
  await emptyDatabase(pool)
  const season = await Season.open({
    ...{ client, clock, firstDay: FIRST_DAY, seed: 1, steps: 20, betterPlans: 'NEVER', drafts: true },
    ...{ everyChange: false, ...options },
  })
  try {
    for await (const { day } of season.days())
      expect({ day, faults: season.checks.faults, crashes: season.crashes }).toEqual({ day, faults: [], crashes: [] })
    return season
  } finally {
    await season.close()
  }
}

/** People read the plan and do what it says: nothing is refused but a draft that would break a promise. */
function expectTaken({ api }: Season): void {
  const isDraft = (codes: readonly string[]) => codes.every((code) => code === 'PROMISES_BROKEN')
  expect(api.refusals.filter(({ codes }) => !isDraft(codes))).toEqual([])
}

/** In twenty days everything has gone wrong that can. */
const DAYS = WHOLE ? 20 : 9
const SHORT = { brewery: 'HITHELOW', days: DAYS, everyMishap: true } as const
const LARGE = { brewery: 'BOTH_SITES', days: 200 } as const

const SETTINGS = ['ASSUMED', 'DUE_UNTIL_SAID'] as const

describe.each(sampled(SETTINGS, 1))('with unsaid work %s', (unsaidWork) => {
  test(`for ${DAYS} days all kinds of things go wrong, and the plan in force stays true`, {
    timeout: 600_000,
  }, async () => {
    const season = await lived({ ...SHORT, unsaidWork, everyChange: LONG })
    if (WHOLE) expect(season.mishaps.missing()).toEqual([])
    const { said, promisesClosed, promisesKept, litresDelivered } = await season.figures()
    expect([said, promisesClosed, litresDelivered].every((figure) => figure > 0)).toBe(true)
    expect(promisesKept).toBeGreaterThan(promisesClosed / 2)
    expectTaken(season)
  })

  test.runIf(LONG)('the plan in force is still true on the two hundredth day', { timeout: 3_600_000 }, async () => {
    const season = await lived({ ...LARGE, unsaidWork })
    expect(season.mishaps.missing()).toEqual([])
    expectTaken(season)
  })
})
