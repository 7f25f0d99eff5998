// What hears of all that a process does: its log, its metrics, its traces. Each may be absent.
import type { Log } from './log.ts'
import type { Metrics } from './metrics.ts'
import type { Traces } from './traces.ts'

export interface Observed {
  log?: Log
  metrics?: Metrics
  traces?: Traces | undefined
}

/** Notes a fault of ours. */
export function faultsOf({ log, metrics }: Observed): (error: unknown, id: string) => void {
  return (error, id) => {
    metrics?.faults.inc()
    log?.error('fault', { fault: id, error: error instanceof Error ? error : new Error(String(error)) })
  }
}

/** Notes an attempt at a job that has ended. */
export function jobsSeenBy({ log, metrics, traces }: Observed) {
  return ({ kind, outcome, seconds }: { kind: string; outcome: string; seconds: number }): void => {
    metrics?.jobSeconds.observe({ kind, outcome }, seconds)
    log?.info('job', { kind, outcome, milliseconds: Math.round(seconds * 1000) })
    traces?.ended({ name: `job ${kind}`, seconds, attributes: { 'fillwright.job.outcome': outcome } })
  }
}
