// npm run worker: a process that works on the jobs of a PostgreSQL server, beside the servers that answer requests.
import { systemClock } from '../clock.ts'
import { openDatabase } from '../database/open-database.ts'
import { workerPages } from '../http/worker-pages.ts'
import { jobsOf } from '../jobs/kinds.ts'
import { Metrics } from '../operations/metrics.ts'
import { faultsOf, jobsSeenBy } from '../operations/observed.ts'
import { listen } from '../server.ts'
import { parseSettings } from '../settings.ts'
import { depthsOf } from './depths.ts'
import { observing } from './observing.ts'
import { stopOnSignals } from './stop-on-signals.ts'
import { warmPlanner } from './warm-planner.ts'

/** A worker keeps no records in memory, so that none of them can be behind. */
const KEEPS_NOTHING = { revisions: new Map<string, number>() }

try {
  await work()
} catch (error) {
  console.error(error instanceof Error ? error.message : error)
  process.exit(1)
}

async function work(): Promise<void> {
  const settings = parseSettings(process.env)
  if (!settings.databaseUrl)
    throw new Error(
      'A worker needs a PostgreSQL server: set DATABASE_URL to the one that the servers use. The embedded database belongs to one process, which does its own planning.',
    )
  if (settings.planningThreads === 0)
    throw new Error('A worker plans: set PLANNING_THREADS to 1 or more, or leave it out.')
  const { log, traces } = await observing(settings)
  const database = await openDatabase(settings, (error) => log.warn('database', { error }))
  const services = { client: database.client, clock: systemClock }
  const metrics = new Metrics(() => depthsOf(services, KEEPS_NOTHING), { process: true })
  const observed = { log, metrics, traces }
  const onAttempt = jobsSeenBy(observed)
  const onFault = faultsOf(observed)
  const jobs = jobsOf({ ...services, onFault, onAttempt }, settings)
  const stopping = new AbortController()
  const pages = { client: database.client, metrics, token: settings.metricsToken, stopping: stopping.signal }
  const { workerPort: port } = settings
  const server = port === undefined ? undefined : await listen(workerPages(pages), { ...settings, port })
  stopOnSignals(
    async () => {
      stopping.abort()
      log.info('the worker stops')
      await jobs.stop()
      await server?.close(0)
      await Promise.all([traces?.close(), database.close()])
    },
    (error) => onFault(error, 'not caught'),
  )
  jobs.start()
  warmPlanner(stopping.signal).catch((error: unknown) => onFault(error, 'before the first plan'))
  console.log(`Fillwright works on jobs${server ? `, and says at ${server.address} how it is` : ''}.`)
}
