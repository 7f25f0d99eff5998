// The log of a process and its traces, by the settings. The code that sends traces is loaded only where they are sent.
import { systemClock } from '../clock.ts'
import { type Log, makeLog } from '../operations/log.ts'
import type { Traces } from '../operations/traces.ts'
import type { Settings } from '../settings.ts'

/** The log goes to the standard error: the standard output is for the one who starts the process. */
export async function observing(settings: Settings): Promise<{ log: Log; traces: Traces | undefined }> {
  const { level, format } = settings.log
  const log = makeLog({
    level,
    pretty: format === 'auto' ? process.stderr.isTTY === true : format === 'pretty',
    write: (line) => process.stderr.write(line),
    now: () => systemClock.now(),
  })
  return { log, traces: settings.traces && (await sendingTo(settings.traces, log)) }
}

async function sendingTo(options: NonNullable<Settings['traces']>, log: Log): Promise<Traces> {
  const { Traces } = await import('../operations/traces.ts')
  const now = () => systemClock.now()
  return new Traces({ ...options, now, onLost: (error, spans) => log.warn('traces were lost', { spans, error }) })
}
