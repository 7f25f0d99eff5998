// What `npm start` does once the database is open: the demo if there is nothing yet, the server, a first plan, and a short
// picture of it.
import { readFile } from 'node:fs/promises'
import { createApp } from '../app.ts'
import { systemClock } from '../clock.ts'
import type { Database } from '../database/open-database.ts'
import { readTrustedDocuments } from '../http/trusted-documents.ts'
import { jobsOf } from '../jobs/kinds.ts'
import { expireLeases } from '../jobs/leases.ts'
import type { Log } from '../operations/log.ts'
import { Metrics } from '../operations/metrics.ts'
import { faultsOf, jobsSeenBy } from '../operations/observed.ts'
import type { Traces } from '../operations/traces.ts'
import { Snapshots } from '../records/snapshots.ts'
import { schema } from '../schema/schema.ts'
import { listen } from '../server.ts'
import type { Settings } from '../settings.ts'
import { progressWords } from '../solver/progress.ts'
import { DEMO_ID, demoKeysFile, guardDemoKeys, seedDemoIfEmpty } from './demo.ts'
import { depthsOf } from './depths.ts'
import { makeFirstPlan } from './first-plan.ts'
import { pictureOf } from './picture.ts'
import { readPlanInForce } from './plan-in-force.ts'
import type { ProgressLine } from './progress-line.ts'
import { stopOnSignals } from './stop-on-signals.ts'
import { warmPlanner } from './warm-planner.ts'

/** Milliseconds for which a server that stops waits for requests that were begun. */
const PATIENCE = 8000

export interface Opened {
  settings: Settings
  log: Log
  traces: Traces | undefined
  database: Database
  progress: ProgressLine
  /** Aborted when a signal asks the process to end. */
  stopping: AbortController
  /** When the process began, by `performance.now()`. */
  started: number
}

/** Serves on an open database until a signal ends the process; on the demo's, once it has said so, it makes the first plan. */
export async function serve(opened: Opened): Promise<void> {
  const { settings, log, traces, database, progress, stopping, started } = opened
  const services = { client: database.client, clock: systemClock }
  if (!settings.databaseUrl) await expireLeases(database.client)
  const { trustedDocumentsFile: list } = settings
  const trusted = list === undefined ? undefined : readTrustedDocuments(await readFile(list, 'utf8'), schema)
  const snapshots = new Snapshots()
  const metrics = new Metrics(() => depthsOf(services, snapshots), { process: true })
  const observed = { log, metrics, traces }
  const onFault = faultsOf(observed)
  const jobs = jobsOf({ ...services, onFault, onAttempt: jobsSeenBy(observed) }, settings)
  const app = createApp({
    ...services,
    ...settings,
    jobs,
    onFault,
    snapshots,
    observed,
    stopping: stopping.signal,
    trusted,
  })
  progress.show('Looking whether there is anything in it ...')
  const seeded = await seedDemoIfEmpty(services, settings.folder)
  await guardDemoKeys(settings.folder)
  const server = await listen(app, settings)
  jobs.start()
  progress.end()
  console.log(`Fillwright answers at ${server.address}/graphql (after ${seconds(started)} s).`)
  if (seeded) console.log(`The database was empty: it now holds an invented brewery to try things on.`)

  stopOnSignals(
    async () => {
      stopping.abort()
      progress.end()
      log.info('the server stops')
      await Promise.all([jobs.stop(), server.close(PATIENCE)])
      await Promise.all([traces?.close(), database.close()])
    },
    (error) => onFault(error, 'not caught'),
  )

  const hasDemo = (await services.client.distributor.count({ where: { id: DEMO_ID } })) > 0
  const hasPlanned = hasDemo && (await showDemo())
  if (!hasPlanned && settings.planningThreads !== 0)
    warmPlanner(stopping.signal).catch((error: unknown) => onFault(error, 'before the first plan'))
  console.log(`\nOpen ${server.address}/graphql in a browser to ask it something.`)

  /** Answers whether it made the first plan. */
  async function showDemo(): Promise<boolean> {
    const inForce = await services.client.plan.count({ where: { distributorId: DEMO_ID, status: 'IN_FORCE' } })
    if (inForce === 0) {
      progress.show('Planning ...')
      await makeFirstPlan({ ...services, onFault }, DEMO_ID, (each) =>
        progress.show(`Planning: ${progressWords(each)} ...`),
      )
      progress.end()
      console.log(`The first plan is made (after ${seconds(started)} s).`)
    }
    const found = await readPlanInForce(services, DEMO_ID)
    if (found) console.log(pictureOf(found.problem, found.plan, found.nameOf, found.today).join('\n'))
    console.log(
      `\nKeys of the demo's users (sales, planner, floor, integrator, admin): ${demoKeysFile(settings.folder)}`,
    )
    return inForce === 0
  }
}

function seconds(started: number): string {
  return ((performance.now() - started) / 1000).toFixed(1)
}
