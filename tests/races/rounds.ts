// Rounds of the race for the last casks, against servers in processes of their own, one of which may be killed.
import { setTimeout as wait } from 'node:timers/promises'
import { LAST_CASKS_SERVE_IN, lastCasksScenario } from '../../seeds/last-casks.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import type { Database } from '../../src/database/open-database.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import { type Caller, callerOf } from '../../tools/serving/caller.ts'
import { type OwnDatabase, ownDatabase } from '../../tools/serving/own-database.ts'
import { type ServerProcess, startedServer } from '../../tools/serving/server-process.ts'
import { type Ask, buy, type Outcome } from './buyers.ts'
import { expectTruth } from './truth.ts'

/** How many buyers come at once. */
const BUYERS = 200

/** A zone in which it is about noon now, so that no day ends while the test runs. */
function noonZone(): string {
  const ahead = 12 - new Date().getUTCHours()
  return ahead === 0 ? 'Etc/UTC' : `Etc/GMT${ahead > 0 ? '-' : '+'}${Math.abs(ahead)}`
}

interface Place {
  server: ServerProcess
  callers: Map<string, Caller>
}

export class Races {
  readonly #own: OwnDatabase
  readonly #places: Place[] = []
  readonly #zone = noonZone()
  readonly #today = todayIn(systemClock, this.#zone)
  readonly #keys = new Map<string, string>()
  #rounds = 0

  private constructor(own: OwnDatabase) {
    this.#own = own
  }

  /**
   * Fills a database of its own, on the server at `serverUrl` or embedded, for so many rounds, and starts so many servers
   * on it.
   */
  static async open(serverUrl: string | undefined, servers: number, rounds: number): Promise<Races> {
    const races = new Races(await ownDatabase(serverUrl))
    await races.#look(async (database) => {
      for (let round = 1; round <= rounds; round++) await races.#fill(database, `race-${round}`)
    })
    for (let n = 0; n < servers; n++) races.#places.push(await races.#start())
    return races
  }

  /** All servers end, and the database is gone. */
  async close(): Promise<void> {
    await Promise.all(this.#places.map(({ server }) => server.kill()))
    await this.#own.drop()
  }

  /** A round without an accident. */
  async race(): Promise<void> {
    const distributorId = this.#next()
    await this.#judge(distributorId, await this.#sell(distributorId, () => {}))
  }

  /** A round in which one of the servers is killed after some answers, and started again. */
  async raceAndKill(): Promise<void> {
    const distributorId = this.#next()
    const victim = this.#places[Math.floor(Math.random() * this.#places.length)]
    if (!victim) throw new Error('no server is running')
    const after = 1 + Math.floor(Math.random() * 100)
    let restarted: Promise<void> | undefined
    let outcomes: Outcome[]
    try {
      outcomes = await this.#sell(distributorId, (answers) => {
        if (answers !== after) return
        restarted = this.#killAndStart(victim)
        // Its fault is thrown below; until then nothing has looked at it.
        restarted.catch(() => {})
      })
    } finally {
      await restarted
    }
    await this.#judge(distributorId, outcomes)
  }

  #next(): string {
    this.#rounds += 1
    return `race-${this.#rounds}`
  }

  /** All buyers at once, in turns at each server; `onAnswer` hears how many have had an answer to anything. */
  async #sell(distributorId: string, onAnswer: (answers: number) => void): Promise<Outcome[]> {
    const serveOn = addDays(this.#today, LAST_CASKS_SERVE_IN)
    let answers = 0
    let turn = 0
    const ask: Ask = async (query, variables) => {
      const place = this.#places[turn++ % this.#places.length]
      if (!place) throw new Error('no server is running')
      const answer = await this.#caller(place, distributorId).ask(query, variables)
      onAnswer(++answers)
      return answer
    }
    try {
      return await Promise.all(Array.from({ length: BUYERS }, (_, index) => buy(ask, index, serveOn)))
    } catch (error) {
      const output = this.#places.map(({ server }) => server.output()).join('\n')
      throw new Error(`${error instanceof Error ? error.message : error}\nThe servers said:\n${output}`, {
        cause: error,
      })
    }
  }

  async #judge(distributorId: string, outcomes: Outcome[]): Promise<void> {
    const serveOn = addDays(this.#today, LAST_CASKS_SERVE_IN)
    await this.#look(({ client }) =>
      expectTruth(client, distributorId, { today: this.#today, now: systemClock.now(), serveOn, outcomes }),
    )
  }

  /** Opens the database for `work`. An embedded one belongs to one process: its server rests meanwhile. */
  async #look(work: (database: Database) => Promise<void>): Promise<void> {
    const embedded = !this.#own.environment.DATABASE_URL
    const resting = embedded ? this.#places.splice(0) : []
    for (const { server } of resting) await server.stop()
    const database = await this.#own.open()
    try {
      await work(database)
    } finally {
      await database.close()
    }
    for (const _ of resting) this.#places.push(await this.#start())
  }

  async #fill({ client }: Database, distributorId: string): Promise<void> {
    const scenario = lastCasksScenario(this.#today, this.#zone)
    const { plan } = makePlan(scenario.problem, { steps: 0 })
    const planned = { ...scenario, problem: { ...scenario.problem, baseline: plan } }
    await client.$transaction(async (tx) => {
      await saveSetup(tx, distributorId, planned, systemClock.now())
      this.#keys.set(distributorId, (await makeDemoKeys(tx, distributorId, systemClock.now())).sales)
    })
  }

  async #start(): Promise<Place> {
    return { server: await startedServer(this.#own.environment), callers: new Map() }
  }

  async #killAndStart(victim: Place): Promise<void> {
    await victim.server.kill()
    await wait(200 * Math.random())
    Object.assign(victim, await this.#start())
  }

  #caller({ server, callers }: Place, distributorId: string): Caller {
    const known = callers.get(distributorId)
    if (known) return known
    const caller = callerOf(server.address(), this.#keys.get(distributorId) ?? '', BUYERS)
    callers.set(distributorId, caller)
    return caller
  }
}
