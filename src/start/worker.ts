// npm run worker: a process that works on the jobs of a PostgreSQL server, beside the servers that answer requests.
import { systemClock } from '../clock.ts'
import { openDatabase } from '../database/open-database.ts'
import { jobsOf } from '../jobs/kinds.ts'
import { parseSettings } from '../settings.ts'
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
  const database = await openDatabase(settings, (error) => console.error(`database: ${error.message}`))
  const onFault = (error: unknown, id: string) => console.error(`fault ${id}:`, error)
  const jobs = jobsOf({ client: database.client, clock: systemClock, onFault }, settings)
  stopOnSignals(async () => {
    await jobs.stop()
    await database.close()
  })
  jobs.start()
  console.log('Fillwright works on jobs.')
}
