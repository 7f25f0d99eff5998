// The brewery that orders go to: a small one, on a database of its own, with servers and a worker in processes that are killed at random.
import { setTimeout as wait } from 'node:timers/promises'
import { ACCOUNTS, lastCasksScenario } from '../../seeds/last-casks.ts'
import type { Random } from '../../seeds/random.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import type { Database } from '../../src/database/open-database.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import { type OwnDatabase, ownDatabase } from '../serving/own-database.ts'
import { type ServerProcess, startedServer, startServer } from '../serving/server-process.ts'
import type { Wanted } from './ordering-system.ts'

const BREWERY = 'ordered-from'
const ZONE = 'Etc/UTC'
const ENVIRONMENT = { WEBHOOK_PRIVATE_ADDRESSES: 'on', PLANNING_THREADS: '1' }

/** How it is run. */
export interface HouseSize {
  /** A PostgreSQL server; undefined: the embedded database, which one server has to itself. */
  serverUrl: string | undefined
  servers: number
  workers: number
}

type Start = () => Promise<ServerProcess>

export class House {
  readonly wanted: Wanted
  readonly key: string
  kills = 0
  readonly #own: OwnDatabase
  readonly #places: { process: ServerProcess; start: Start; answers: boolean }[] = []
  #killing: Promise<void> | undefined
  #ended = false

  private constructor(own: OwnDatabase, key: string, wanted: Wanted) {
    this.#own = own
    this.key = key
    this.wanted = wanted
  }

  /** Sets the brewery up and starts its processes. */
  static async open({ serverUrl, servers, workers }: HouseSize): Promise<House> {
    const own = await ownDatabase(serverUrl)
    const database = await own.open()
    const today = todayIn(systemClock, ZONE)
    const key = await setUp(database, today).finally(() => database.close())
    const accounts = Array.from({ length: ACCOUNTS }, (_, index) => `A-${index + 1}`)
    const house = new House(own, key, { accounts, pack: 'ale-firkin', serveOn: addDays(today, 12) })
    const environment = { ...own.environment, ...ENVIRONMENT }
    const worker: Start = async () => {
      const started = startServer(environment, 'src/start/worker.ts')
      await started.until('works on jobs')
      return started
    }
    const starts: [Start, number][] = [
      [() => startedServer(environment), servers],
      [worker, workers],
    ]
    await Promise.all(
      starts.flatMap(([start, count]) =>
        Array.from({ length: count }, async () => {
          house.#places.push({ process: await start(), start, answers: start !== worker })
        }),
      ),
    )
    return house
  }

  /** Its servers, as one who asks them sees them. */
  servers(): { addresses: () => string[]; key: string } {
    return { addresses: () => this.addresses(), key: this.key }
  }

  /** Where servers answer; one that was killed is still named until it is started again. */
  addresses(): string[] {
    return this.#places.filter(({ answers }) => answers).map(({ process }) => process.address())
  }

  /** Opens the database beside the servers: one on a PostgreSQL server. */
  look(): Promise<Database> {
    return this.#own.open()
  }

  /** Kills any process, with signal 9, and starts it again: unless another one is being killed. */
  killOne(random: Random): void {
    if (this.#killing || this.#ended) return
    const place = random.pick(this.#places)
    this.#killing = this.#killAndStart(place, 300 * random.unit()).finally(() => {
      this.#killing = undefined
    })
  }

  /** Kills the server of that number; `start` starts it again. */
  async killServer(index: number): Promise<{ start(): Promise<void> }> {
    const place = this.#places.filter(({ answers }) => answers)[index]
    if (!place) throw new Error(`there is no server ${index}`)
    await place.process.kill()
    return {
      start: async () => {
        place.process = await place.start()
      },
    }
  }

  /** Resolves when all processes run. */
  async whole(): Promise<void> {
    await this.#killing
  }

  /** Ends all, and deletes the database. */
  async close(): Promise<void> {
    this.#ended = true
    await this.#killing
    await Promise.all(this.#places.map(({ process }) => process.kill()))
    await this.#own.drop()
  }

  async #killAndStart(place: { process: ServerProcess; start: Start }, pause: number): Promise<void> {
    this.kills += 1
    await place.process.kill()
    await wait(pause)
    place.process = await place.start()
  }
}

/** Writes the brewery, with a plan; answers a key that may do everything. */
async function setUp({ client }: Database, today: string): Promise<string> {
  const scenario = lastCasksScenario(today, ZONE)
  const { plan } = makePlan(scenario.problem, { steps: 0 })
  const planned = { ...scenario, problem: { ...scenario.problem, baseline: plan } }
  return client.$transaction(async (tx) => {
    await saveSetup(tx, BREWERY, planned, systemClock.now())
    return (await makeDemoKeys(tx, BREWERY, systemClock.now())).admin
  })
}
