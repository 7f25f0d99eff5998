// Two hours of the soak: a server of its own, with a clock that is set, has open what it had after the first, and each act leaves the
// rows that are stated. Beside the tests on a server, since it takes long; all 24 hours: `npm run soak`.
import { expect, test } from 'vitest'
import { otherThanStated, tally, whatGrew } from '../../../tools/soak/flat.ts'
import { soak } from '../../../tools/soak/soak.ts'
import { LONG, WHOLE } from '../../support/sampled.ts'

test.runIf(WHOLE)(
  'a server that works hour after hour has no more open than before, and its records grow as stated',
  {
    timeout: 900_000,
  },
  async () => {
    const { hours, left } = await soak({ hours: LONG ? 24 : 2, breweries: LONG ? 2 : 1, hoursBetweenDrafts: 2 })
    expect(whatGrew(hours)).toEqual([])
    expect(otherThanStated(left)).toEqual([])
    expect(hours.at(-1)).toMatchObject({ threads: 0, faults: [] })
    // Every act was done, those that come with a day's end or a second draft in the long run.
    const done = tally(left).map(({ act }) => act)
    expect(done).toEqual(expect.arrayContaining(['ORDER_PLACED', 'EXPIRED', 'WITHDRAWN', 'KEY_REVOKED', 'ADOPTED']))
  },
)
