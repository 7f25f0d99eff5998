// Two hundred customers at once for the last forty casks, through real servers, which are killed while they answer: on the
// embedded database, and through two servers on one PostgreSQL server where TEST_DATABASE_URL names one. RACE_ROUNDS says
// how many rounds with a kill there are on the server (half as many on the embedded database); 1 where it is not set.
import { randomUUID } from 'node:crypto'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, describe, expect, test } from 'vitest'
import { type Random, randomFrom } from '../../seeds/random.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import { type OwnDatabase, ownDatabase } from '../../tools/serving/own-database.ts'
import { type ServerProcess, startedServer } from '../../tools/serving/server-process.ts'
import { Customers, type Outcome } from './customers.ts'
import { judge } from './judge.ts'
import { CASKS, lastCasks, wantedDay } from './last-casks.ts'

const CUSTOMERS = 200
const ROUNDS = Number(process.env.RACE_ROUNDS || 1)
const SERVER = process.env.TEST_DATABASE_URL || undefined

const today = todayIn(systemClock, 'Europe/London')
const wanted = wantedDay(today)

/** Where a race is run: so many servers on one database. */
class Course {
  readonly own: OwnDatabase
  readonly servers: (ServerProcess | undefined)[]

  constructor(own: OwnDatabase, servers: ServerProcess[]) {
    this.own = own
    this.servers = [...servers]
  }

  static async open(url: string | undefined, count: number): Promise<Course> {
    const own = await ownDatabase(url)
    const database = await own.open()
    await database.close()
    return new Course(own, await Promise.all(Array.from({ length: count }, () => startedServer(own.environment))))
  }

  addresses(): string[] {
    return this.servers.flatMap((server) => (server ? [server.address()] : []))
  }

  /** Kills a server where it stands, and starts another in its place. */
  async replace(index: number): Promise<void> {
    const server = this.servers[index]
    this.servers[index] = undefined
    await server?.kill()
    this.servers[index] = await startedServer(this.own.environment)
  }

  /** Runs `work` on the database; an embedded one belongs to one process at a time, so its server is put aside. */
  async withDatabase<Result>(work: (database: Awaited<ReturnType<OwnDatabase['open']>>) => Promise<Result>) {
    const aside = this.own.environment.DATABASE_URL === ''
    if (aside) await this.servers[0]?.stop()
    const database = await this.own.open()
    try {
      return await work(database)
    } finally {
      await database.close()
      if (aside) this.servers[0] = await startedServer(this.own.environment)
    }
  }

  async close(): Promise<void> {
    await Promise.all(this.servers.map((server) => server?.stop()))
    await this.own.drop()
  }
}

/** One race of a distributor of its own; `disturb` is what happens meanwhile. */
async function race(course: Course, random: Random, disturb: () => Promise<void>) {
  const distributorId = `race-${randomUUID().slice(0, 8)}`
  const key = await course.withDatabase(({ client }) =>
    client.$transaction(async (tx) => {
      await saveSetup(tx, distributorId, lastCasks(today), systemClock.now())
      // Keys of several distributors in one database have names of their own.
      return (await makeDemoKeys(tx, distributorId, systemClock.now())).sales
    }),
  )
  const customers = new Customers(() => course.addresses(), key)
  const wish = (customer: number): Promise<Outcome> => {
    const kind = random.int(0, 9)
    if (kind < 5) return customers.order(customer, wanted)
    return customers.reserve(customer, wanted, kind < 8)
  }
  const disturbed = disturb()
  const outcomes = await Promise.all(Array.from({ length: CUSTOMERS }, (_, customer) => wish(customer)))
  await disturbed
  customers.close()
  const { sold, taken } = await course.withDatabase(({ client }) =>
    judge(client, distributorId, today, wanted, outcomes),
  )
  const refused = outcomes.filter(({ done }) => !done)
  expect(sold).toBe(CASKS)
  expect(taken).toBe(CASKS)
  expect(outcomes.filter(({ done }) => done)).toHaveLength(CASKS)
  expect(refused.filter(({ told }) => !told)).toEqual([])
  expect(new Set(refused.map(({ code }) => code))).toEqual(new Set(['NO_PLAN_FITS']))
}

const calm = async () => {}

/** Kills a server at some moment of the race. */
const kill = (course: Course, random: Random) => async () => {
  await wait(random.int(100, 1500))
  await course.replace(random.int(0, course.servers.length - 1))
}

describe('on the embedded database, through one server', async () => {
  const course = await Course.open(undefined, 1)
  afterAll(() => course.close())

  test('of two hundred who want the last forty casks at once, forty get one and the others a reason', {
    timeout: 120_000,
  }, async () => {
    await race(course, randomFrom(1), calm)
  })

  test.each(rounds(Math.ceil(ROUNDS / 2)))(
    'a server that is killed loses nothing that it acknowledged, and leaves no half order (round %i)',
    { timeout: 120_000 },
    async (round) => {
      const random = randomFrom(100 + round)
      await race(course, random, kill(course, random))
    },
  )
})

describe.skipIf(SERVER === undefined)('on a PostgreSQL server, through two servers', async () => {
  const course = SERVER === undefined ? undefined : await Course.open(SERVER, 2)
  afterAll(() => course?.close())

  test('of two hundred who want the last forty casks at once, forty get one and the others a reason', {
    timeout: 120_000,
  }, async () => {
    if (course) await race(course, randomFrom(2), calm)
  })

  test.each(rounds(ROUNDS))(
    'one of two servers that is killed loses nothing that it acknowledged, and leaves no half order (round %i)',
    { timeout: 120_000 },
    async (round) => {
      const random = randomFrom(200 + round)
      if (course) await race(course, random, kill(course, random))
    },
  )
})

function rounds(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index + 1)
}
