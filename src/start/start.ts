// npm start: the settings and the database first, so that what is wrong with them is said within a second or two; what
// serves is loaded while the database opens.
import { openDatabase } from '../database/open-database.ts'
import { parseSettings } from '../settings.ts'
import { observing } from './observing.ts'
import { progressLine } from './progress-line.ts'

const started = performance.now()
const progress = progressLine(process.stdout)
const stopping = new AbortController()

try {
  await start()
} catch (error) {
  // What was being prepared fails when the database closes; the end itself says how it went.
  if (stopping.signal.aborted) await new Promise(() => undefined)
  progress.end()
  console.error(error instanceof Error ? error.message : error)
  if (error instanceof Error && error.cause) console.error(error.cause)
  process.exit(1)
}

async function start(): Promise<void> {
  const settings = parseSettings(process.env)
  progress.show(
    settings.databaseUrl ? 'Opening the database ...' : `Opening the embedded database in ${settings.folder} ...`,
  )
  const { log, traces } = await observing(settings)
  const [database, { serve }] = await Promise.all([
    openDatabase(settings, (error) => log.warn('database', { error })),
    import('./serve.ts'),
  ])
  await serve({ settings, log, traces, database, progress, stopping, started })
}
