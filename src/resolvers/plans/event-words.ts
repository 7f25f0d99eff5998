// What happened to the records, as the change log calls it, in words.
import type { RecordChange } from '../../errors.ts'

const TYPES: Readonly<Record<string, string>> = {
  PlannedBrew: 'a brew',
  PlannedTransfer: 'a transfer',
  FillRun: 'a fill run',
  OrderLine: 'an order line',
}

const EVENTS: Readonly<Record<string, string>> = {
  PLAN_FIXED: 'was fixed in the plan',
  PLAN_UNFIXED: 'was unfixed in the plan',
  PROMISE_AT_RISK: 'came to be at risk',
  PROMISE_DAY_MOVED: 'is served on another day',
  PROMISE_SAFE_AGAIN: 'is safe again',
  RESERVATION_EXPIRED: 'ran out',
  WISH_GAVE_WAY: 'gave way to a promise',
}

/** Each event once, with its record, such as `Batch "G-12" was changed`; decisions and lines without their ids. */
export function eventWords(changes: readonly RecordChange[]): string[] {
  return [...new Set(changes.map(wordsOf))]
}

function wordsOf({ event, what, entity }: RecordChange): string {
  const thing = TYPES[entity?.type ?? ''] ?? what.split(': ', 1)[0]
  const verb = event.split('_').at(-1)?.toLowerCase()
  return `${thing} ${EVENTS[event] ?? `was ${verb}`}`
}
