// What is done in a soak, and how many rows each act may leave behind: in the change log, and in the ledger.

/** From the least to the most rows of one act. */
export type Span = readonly [least: number, most: number]

export interface Stated {
  what: string
  log: Span
  ledger: Span
}

const exactly = (rows: number): Span => [rows, rows]

/**
 * By act. The rows are those of the act itself; a promise or a wish that is kept otherwise because of it has a row of its own,
 * which is counted as `MOVED`.
 */
export const ACTS = {
  ORDER_PLACED: { what: 'an order is placed', log: exactly(1), ledger: exactly(0) },
  ORDER_CANCELLED: { what: 'an order is cancelled', log: exactly(1), ledger: exactly(0) },
  RESERVED: { what: 'beer is reserved', log: exactly(1), ledger: exactly(0) },
  RELEASED: { what: 'a reservation is released', log: exactly(1), ledger: exactly(0) },
  EXPIRED: { what: 'a reservation runs out', log: exactly(1), ledger: exactly(0) },
  DISCARDED: { what: 'a draft is made and discarded', log: exactly(1), ledger: exactly(0) },
  ADOPTED: { what: 'a draft is made and adopted', log: exactly(1), ledger: exactly(0) },
  READING: { what: 'a reading of a batch is recorded', log: exactly(1), ledger: exactly(0) },
  BOUGHT: { what: 'containers are bought', log: exactly(1), ledger: exactly(1) },
  WITHDRAWN: { what: 'that fact is withdrawn', log: exactly(1), ledger: exactly(1) },
  KEY_MADE: { what: 'a key is made', log: exactly(1), ledger: exactly(0) },
  KEY_REVOKED: { what: 'a key that listens is revoked', log: exactly(1), ledger: exactly(0) },
  DAY_ROLLED: { what: 'a day ends: the work planned for it is assumed', log: [1, 60], ledger: [0, 120] },
  MOVED: { what: 'a promise or a wish is kept otherwise since', log: exactly(1), ledger: exactly(0) },
} as const satisfies Record<string, Stated>

export type Act = keyof typeof ACTS

/** Kinds of entries that follow from another act. */
const FOLLOWING: ReadonlyMap<string, Act> = new Map([
  ['RESERVATION_EXPIRED', 'EXPIRED'],
  ['PROMISE_AT_RISK', 'MOVED'],
  ['PROMISE_SAFE_AGAIN', 'MOVED'],
  ['PROMISE_DAY_MOVED', 'MOVED'],
  ['WISH_GAVE_WAY', 'MOVED'],
])

/** Rows that one act has left. */
export interface Left {
  act: Act
  log: number
  ledger: number
}

/** What a revision has left, by act. `act` made it; absent: the server by itself. */
export function leftBy(kinds: readonly string[], ledger: number, act: Act | undefined): Left[] {
  const following = kinds.flatMap((kind) => FOLLOWING.get(kind) ?? [])
  const own = kinds.length - following.length
  const byItself = kinds.includes('DAYS_ROLLED') ? 'DAY_ROLLED' : undefined
  const made = act ?? byItself
  if (made === undefined && own > 0) throw new Error(`no act has written ${kinds.join(', ')}`)
  return [
    ...(made === undefined ? [] : [{ act: made, log: own, ledger }]),
    ...following.map((each) => ({ act: each, log: 1, ledger: 0 })),
  ]
}
