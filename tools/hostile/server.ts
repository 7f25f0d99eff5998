// The server that is attacked: as `npm start` runs it, on an embedded database of its own, with several breweries and a key for each part
// that is played. It says where it answers in one line of JSON, and its memory and faults when it is asked by its parent.
import { setTimeout as wait } from 'node:timers/promises'
import { demoScenario } from '../../seeds/demo.ts'
import { createApp } from '../../src/app.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { openDatabase } from '../../src/database/open-database.ts'
import { inWholeMillilitres } from '../../src/floor/container-volumes.ts'
import { jobsOf } from '../../src/jobs/kinds.ts'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { newKey } from '../../src/resolvers/access/keys.ts'
import { ALL_SCOPES } from '../../src/scopes.ts'
import { listen } from '../../src/server.ts'
import { parseSettings } from '../../src/settings.ts'
import type { Parts } from './parts.ts'

const settings = parseSettings(process.env)
const database = await openDatabase(settings, (error) => fault(error, 'database'))
const faults: string[] = []
const services = { client: database.client, clock: systemClock, onFault: fault }
const jobs = jobsOf(services, settings)
const app = createApp({ ...services, ...settings, jobs })
const keys = await breweries(database.client)
const server = await listen(app, settings)
jobs.start()
console.log(JSON.stringify({ address: server.address, keys } satisfies Parts))

function fault(error: unknown, id: string): void {
  faults.push(error instanceof Error ? (error.stack ?? error.message) : String(error))
  console.error(`fault ${id}:`, error)
}

process.on('message', async (asked) => {
  if (asked === 'faults') process.send?.(faults)
  if (asked !== 'memory') return
  for (let round = 1; round <= 3; round += 1) {
    global.gc?.()
    await wait(100)
  }
  const { heapUsed, external, arrayBuffers } = process.memoryUsage()
  process.send?.({ heapUsed, external, arrayBuffers })
})

process.on('disconnect', () => process.exit(0))

/** Writes a brewery for each part, all alike. */
async function breweries(client: PrismaClient): Promise<Parts['keys']> {
  const scenario = demoScenario(todayIn(systemClock, 'Europe/London'))
  // Planned as the rows give the problem to the planner.
  const containerTypes = scenario.problem.containerTypes.map(inWholeMillilitres)
  const baseline = makePlan({ ...scenario.problem, containerTypes }, { steps: 60 }).plan
  const planned = { ...scenario, problem: { ...scenario.problem, baseline } }
  const keyOf = async (distributorId: string, scopes: readonly string[]) => {
    const key = newKey()
    const row = { distributorId, name: 'Hostile', hash: hashKey(key), scopes: [...scopes] }
    await client.apiKey.create({ data: { ...row, createdAt: systemClock.now() } })
    return key
  }
  for (const id of ['polite', 'greedy', 'attacked'])
    await client.$transaction((tx) => saveSetup(tx, id, planned, systemClock.now()), { timeout: 60_000 })
  return {
    polite: await keyOf('polite', ALL_SCOPES),
    greedy: await keyOf('greedy', ALL_SCOPES),
    own: await keyOf('attacked', ALL_SCOPES),
    // Every key has a scope; no field needs this one.
    unscoped: await keyOf('attacked', ['webhooks:write']),
    others: await keyOf('greedy', ALL_SCOPES),
  }
}
