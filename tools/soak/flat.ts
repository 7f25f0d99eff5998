// Whether what a server has open stays flat from hour to hour, and what each act leaves in the records is as stated.
import { ACTS, type Act, type Left, type Span } from './acts.ts'
import type { Measured } from './messages.ts'

/** Counts that are the same hour after hour. */
export const COUNTS = ['connections', 'sockets', 'threads', 'snapshots', 'openPlans', 'liveJobs'] as const

/** Bytes by which the heap may differ between early and late hours: code that is compiled, and what is cached up to a bound. */
export const HEAP_SLACK = 16 * 1024 * 1024

/** What has grown, a sentence each. A count is held to the most of the first half of the hours, the heap to its usual size then. */
export function whatGrew(hours: readonly Omit<Measured, 'faults'>[]): string[] {
  const half = Math.ceil(hours.length / 2)
  const [early, late] = [hours.slice(0, half), hours.slice(half)]
  if (late.length === 0) throw new Error('it takes two hours to see what grows')
  const grown = COUNTS.flatMap((name) => {
    const [before, after] = [early, late].map((part) => Math.max(...part.map((hour) => hour[name])))
    return after !== undefined && before !== undefined && after > before ? [`${name}: ${before}, then ${after}`] : []
  })
  const [heapBefore, heapAfter] = [early, late].map((part) => middle(part.map(({ heap }) => heap)))
  const heap = (heapAfter ?? 0) - (heapBefore ?? 0)
  return heap > HEAP_SLACK ? [...grown, `heap: ${inMib(heap)} MiB more`] : grown
}

/** Acts that have left other rows than stated, a sentence each. */
export function otherThanStated(left: readonly Left[]): string[] {
  return tally(left).flatMap(({ act, log, ledger }) => {
    const faults = (['log', 'ledger'] as const).filter((kind) => !within({ log, ledger }[kind], ACTS[act][kind]))
    return faults.map(
      (kind) =>
        `${ACTS[act].what}: ${spanText({ log, ledger }[kind])} rows of the ${kind}, not ${spanText(ACTS[act][kind])}`,
    )
  })
}

/** How often an act was done, and the least and the most rows that it left. */
export interface Tally {
  act: Act
  times: number
  log: Span
  ledger: Span
}

/** By act, in the order of their list. */
export function tally(left: readonly Left[]): Tally[] {
  return actNames().flatMap((act) => {
    const own = left.filter((each) => each.act === act)
    const span = (kind: 'log' | 'ledger'): Span => {
      const rows = own.map((each) => each[kind])
      return [Math.min(...rows), Math.max(...rows)]
    }
    return own.length === 0 ? [] : [{ act, times: own.length, log: span('log'), ledger: span('ledger') }]
  })
}

/** The acts in the order of their list. */
export function actNames(): Act[] {
  return Object.keys(ACTS).filter((name): name is Act => name in ACTS)
}

/** `1`, or `1 to 60`. */
export function spanText([least, most]: Span): string {
  return least === most ? String(least) : `${least} to ${most}`
}

export function inMib(bytes: number): string {
  return (bytes / 1024 / 1024).toFixed(1)
}

function within([least, most]: Span, [from, to]: Span): boolean {
  return least >= from && most <= to
}

function middle(numbers: number[]): number {
  const sorted = numbers.sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? 0
}
