// npm run worker: a process that works on the jobs of a PostgreSQL server, beside the servers that answer requests.
import { systemClock } from '../clock.ts'
import { openDatabase } from '../database/open-database.ts'
import { jobsOf } from '../jobs/kinds.ts'
import { faultsOf, jobsSeenBy } from '../operations/observed.ts'
import { parseSettings } from '../settings.ts'
import { observing } from './observing.ts'
import { stopOnSignals } from './stop-on-signals.ts'

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
  const observed = { log, traces }
  const onAttempt = jobsSeenBy(observed)
  const onFault = faultsOf(observed)
  const jobs = jobsOf({ client: database.client, clock: systemClock, onFault, onAttempt }, settings)
  stopOnSignals(
    async () => {
      log.info('the worker stops')
      await jobs.stop()
      await Promise.all([traces?.close(), database.close()])
    },
    (error) => onFault(error, 'not caught'),
  )
  jobs.start()
  console.log('Fillwright works on jobs.')
}
