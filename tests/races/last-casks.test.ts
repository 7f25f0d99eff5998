// Two hundred buyers want the last forty casks: on the embedded database through one server, on PostgreSQL through two.
// A few rounds on a server that is named; all of them, which takes minutes, with `npm run test:long`.
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { LONG } from '../support/sampled.ts'
import { Races } from './rounds.ts'

const serverUrl = process.env.TEST_DATABASE_URL || undefined

interface Where {
  place: string
  serverUrl: string | undefined
  servers: number
  kills: number
}

const everywhere: Where[] = [
  ...(LONG ? [{ place: 'the embedded database', serverUrl: undefined, servers: 1, kills: 10 }] : []),
  ...(serverUrl ? [{ place: 'PostgreSQL, through two servers', serverUrl, servers: 2, kills: LONG ? 20 : 2 }] : []),
]

test.runIf(LONG)('the long run has a PostgreSQL server', () => {
  expect(serverUrl).toBeDefined()
})

describe.each(everywhere)('on $place', ({ serverUrl, servers, kills }) => {
  let races: Races
  beforeAll(async () => {
    races = await Races.open(serverUrl, servers, kills + 1)
  }, 300_000)
  afterAll(() => races?.close())

  test('exactly the last casks are sold on the day; the others get a later day or a reason', async () => {
    await races.race()
  }, 240_000)

  test.each(Array.from({ length: kills }, (_, index) => index + 1))(
    'round %i: a server is killed in the middle, and each buyer who got a yes has a cask, once and wholly',
    async () => {
      await races.raceAndKill()
    },
    240_000,
  )
})
