// The tables of a soak: what the server has open by hour, and the rows of each act as stated and as left.
import { table } from '../bench/table.ts'
import { ACTS, type Left } from './acts.ts'
import { actNames, COUNTS, inMib, spanText, tally } from './flat.ts'
import type { Measured } from './messages.ts'

const COLUMNS = [
  ...['connections in use', 'client sockets', 'threads', 'snapshots', 'open plans', 'live jobs'],
  ...['heap, MiB', 'log rows', 'ledger rows'],
]

/** The head of the table by hour, whose rows come one by one. */
export const HEAD = `| hour | ${COLUMNS.join(' | ')} |\n|-----:|${COLUMNS.map((name) => `${'-'.repeat(name.length + 1)}:`).join('|')}|`

/** The row of an hour. */
export function rowOfHour(measured: Measured, hour: number): string {
  const cells = [...COUNTS.map((name) => measured[name]), inMib(measured.heap), measured.logRows, measured.ledgerRows]
  const padded = cells.map((cell, index) => String(cell).padStart(COLUMNS[index]?.length ?? 0))
  return `| ${String(hour).padStart(4)} | ${padded.join(' | ')} |`
}

/** What each act has left: how often it was done, and its rows. */
export function leftTable(left: readonly Left[]): string {
  const rows = tally(left).map(({ act, times, log, ledger }) => [
    ACTS[act].what,
    times,
    spanText(log),
    spanText(ledger),
  ])
  return table(['act', 'times', 'log rows', 'ledger rows'], rows)
}

/** What each act may leave, as the README shows it. */
export function statedTable(): string {
  const rows = actNames().map((act) => [ACTS[act].what, spanText(ACTS[act].log), spanText(ACTS[act].ledger)])
  return table(['act', 'log rows', 'ledger rows'], rows)
}
