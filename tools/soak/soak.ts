// A soak: a server in a process of its own lives through simulated hours, in each of which its breweries do the same, and is measured
// at the end of each.
import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { fileURLToPath } from 'node:url'
import { addDays } from '../../src/planner/documents/index.ts'
import { ownDatabase } from '../serving/own-database.ts'
import { type Left, leftBy } from './acts.ts'
import { type Draft, SoakBrewery } from './brewery.ts'
import { type Asked, type Measured, measuredShape, openedShape, rowsShape } from './messages.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

/** The first hour begins here: before a brewery opens, in winter, so that 24 hours end on the same clock. */
const FIRST_DAY = '2027-03-01'
const FIRST_HOUR = 5

export interface SoakOptions {
  /** Simulated hours. */
  hours: number
  breweries: number
  /** A draft is made in the first hour and then every so many; adopted and discarded in turn. */
  hoursBetweenDrafts: number
  /** A PostgreSQL server on which a database is made for it. Absent: an embedded one. */
  serverUrl?: string | undefined
  /** Hears of each hour once it is measured. */
  onHour?: (measured: Measured, hour: number) => void
}

export interface Soaked {
  /** By hour. */
  hours: Measured[]
  /** What each act has left in the records. */
  left: Left[]
}

/** Runs a soak. Rejects where the server refuses what it must do, or ends. */
export async function soak({
  hours,
  breweries: number,
  hoursBetweenDrafts,
  serverUrl,
  onHour,
}: SoakOptions): Promise<Soaked> {
  const own = await ownDatabase(serverUrl)
  const server = new SoakServer(own.environment, number)
  try {
    const { address, breweries } = openedShape.parse(await server.heard())
    const settled = () => server.ask({ what: 'SETTLE' }).then(() => undefined)
    const all = breweries.map((each) => new SoakBrewery(address, each, settled))
    const soaked: Soaked = { hours: [], left: [] }
    const seen = new Map<string, number>()
    for (let n = 0; n < hours; n += 1) {
      const day = addDays(FIRST_DAY, Math.floor((FIRST_HOUR + n) / 24))
      const at = (minute: number) =>
        server.ask({ what: 'SET_CLOCK', to: `${day}T${two((FIRST_HOUR + n) % 24)}:${two(minute)}:00Z` })
      await at(0)
      for (const brewery of all) await brewery.orders(day, n)
      await at(30)
      for (const brewery of all) await brewery.facts(n, draftOf(n, hoursBetweenDrafts))
      await at(59)
      await settled()
      soaked.hours.push(measuredShape.parse(await server.ask({ what: 'MEASURE' })))
      for (const brewery of all) soaked.left.push(...(await leftIn(server, brewery, seen)))
      onHour?.(soaked.hours.at(-1) ?? measuredShape.parse(undefined), n + 1)
    }
    return soaked
  } finally {
    await server.end()
    await own.drop()
  }
}

/** What the acts of a brewery have left since it was last asked for. */
async function leftIn(server: SoakServer, brewery: SoakBrewery, seen: Map<string, number>): Promise<Left[]> {
  const { id } = brewery
  const rows = rowsShape.parse(await server.ask({ what: 'ROWS', distributorId: id, after: seen.get(id) ?? 0 }))
  seen.set(id, rows.at(-1)?.revision ?? seen.get(id) ?? 0)
  const made = brewery.takeMade()
  return rows.flatMap(({ revision, kinds, ledger }) => leftBy(kinds, ledger, made.get(revision)))
}

class SoakServer {
  readonly #child: ChildProcess
  readonly #ended: Promise<never>
  #said = ''

  constructor(environment: Record<string, string>, breweries: number) {
    const clock = `${FIRST_DAY}T${two(FIRST_HOUR)}:00:00Z`
    this.#child = spawn(
      process.execPath,
      ['--expose-gc', '--import', 'tsx', 'tools/soak/server.ts', clock, String(breweries)],
      { cwd: ROOT, env: { ...process.env, ...environment, PORT: '0' }, stdio: ['ignore', 'ignore', 'pipe', 'ipc'] },
    )
    this.#child.stderr?.on('data', (text) => (this.#said += text))
    this.#ended = once(this.#child, 'exit').then(() => {
      throw new Error(`the server of the soak has ended:\n${this.#said}`)
    })
    this.#ended.catch(() => undefined)
  }

  /** What it says next. */
  async heard(): Promise<unknown> {
    const [message]: unknown[] = await Promise.race([once(this.#child, 'message'), this.#ended])
    return message
  }

  ask(asked: Asked): Promise<unknown> {
    const answer = this.heard()
    this.#child.send(asked)
    return answer
  }

  async end(): Promise<void> {
    this.#child.kill('SIGKILL')
    await this.#ended.catch(() => undefined)
  }
}

function draftOf(n: number, hoursBetweenDrafts: number): Draft {
  if (n % hoursBetweenDrafts !== 0) return 'NONE'
  return (n / hoursBetweenDrafts) % 2 === 0 ? 'ADOPTED' : 'DISCARDED'
}

function two(number: number): string {
  return String(number).padStart(2, '0')
}
