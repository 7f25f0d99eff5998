// The refusals as they are thrown: each carries a code of the catalogue (error-catalogue.ts) and what a caller needs besides.
// Whatever is thrown and is none of these is a fault of ours.

import { type CodeOf, catalogueEntry, type ErrorCode, type ErrorKind } from './error-catalogue.ts'
import type { LocalDate, Reason, ReasonRule } from './planner/documents/index.ts'
import { pathInWords } from './planner/documents/index.ts'

/** One thing that is wrong with an input. `path` is written like `lines[0].quantity`; '' is the input itself. */
export interface Issue {
  path: string
  code: ErrorCode
  message: string
  action: string
}

/** An issue with the catalogue's action; the catalogue's meaning is its message unless a closer one is given. */
export function issue(path: string, code: ErrorCode, message?: string): Issue {
  const entry = catalogueEntry(code)
  return { path, code, message: message ?? entry.meaning, action: entry.action }
}

/** What all refusals have in common. */
export abstract class Refusal extends Error {
  readonly code: ErrorCode
  readonly kind: ErrorKind
  /** What the caller can do. */
  readonly action: string

  constructor(code: ErrorCode, message?: string) {
    const entry = catalogueEntry(code)
    super(message ?? entry.meaning)
    this.name = new.target.name
    this.code = code
    this.kind = entry.kind
    this.action = entry.action
  }
}

/** The input is wrong; `issues` lists everything that is, at least one thing. */
export class InvalidInput extends Refusal {
  readonly issues: readonly Issue[]

  constructor(issues: readonly [Issue, ...Issue[]]) {
    // Some messages are whole sentences, others parts of one: joined, they read as a list.
    const parts = issues.map(({ path, message }) => (path ? `${pathInWords(path)}: ${message}` : message))
    super(
      issues[0].code,
      parts.map((part, index) => (index < parts.length - 1 ? part.replace(/\.$/, '') : part)).join('; '),
    )
    this.issues = issues
  }
}

/** What the input names does not exist. */
export class NotFound extends Refusal {
  /** The kind of thing that was looked for, such as `Order`. */
  readonly entityType: string
  /** The id or reference under which it was looked for. */
  readonly reference: string

  /** Of a reference that is longer than any may be the beginning is said. */
  constructor(entityType: string, asked: string) {
    const reference = asked.slice(0, 500)
    super('NO_SUCH_THING', `There is no ${entityType} "${reference}".`)
    this.entityType = entityType
    this.reference = reference
  }
}

/** Something that others have changed meanwhile. */
export interface RecordChange {
  /** What it is, such as `lines[2].quantity` of an order. */
  what: string
  /** Its values as text; null where there was or is none. */
  before: string | null
  now: string | null
  /** The last thing that happened to it, such as `ORDER_AMENDED`, and the revision that it made. */
  event: string
  revision: number
  /** The record, with its global id, where the changes are of several. */
  entity?: { type: string; id: string }
}

/** Why a draft can not come into force as the records are now. */
export interface Obstacle {
  kind:
    | 'LINE_NO_LONGER_FITS'
    | 'PROMISE_BROKEN'
    | 'PROMISE_BROUGHT_FORWARD'
    | 'RULE_BROKEN'
    | 'SERVED_LATER'
    | 'WORK_MOVED'
  /** The planning rule. Absent: the draft names what is no longer there. */
  rule?: ReasonRule
  /** The row of the order line that it is about. */
  orderLineId?: string
  /** Of a promise: the promised day. */
  promisedOn?: LocalDate
  /** Of a broken promise: the day on which the draft serves all of the line; absent: it never does. Of one that is brought forward: the first day on which it serves some of it. Of a line that is served later: the last day on which it serves some of it. */
  expectedOn?: LocalDate
  message: string
}

/** What has a reference that was asked for, or is what an offer or a reservation became. */
export interface TakenBy {
  type: string
  id: string
  /** The fields of the input whose values differ from those of the thing. Absent: they were not compared. */
  differs?: readonly string[] | undefined
}

/** The state of the records does not allow it now; `changes` says what others did, and `obstacles` what of it is in the way, where that is why; `takenBy` which row has the reference, or is what an offer became. */
export class Conflict extends Refusal {
  readonly changes: readonly RecordChange[]
  readonly obstacles: readonly Obstacle[]
  /** The thing that has the reference, or that an offer or a reservation became, where that is why. */
  readonly takenBy: TakenBy | undefined

  constructor(
    code: CodeOf<'CONFLICT'>,
    message?: string,
    changes: readonly RecordChange[] = [],
    obstacles: readonly Obstacle[] = [],
    takenBy?: TakenBy,
  ) {
    super(code, message)
    this.changes = changes
    this.obstacles = obstacles
    this.takenBy = takenBy
  }
}

/** A line that cannot be served as it was asked for; whole containers. `earliestOn`: the first day of all of it, null where there is none. */
export interface ShortLine {
  packId: string
  quantity: number
  served: number
  earliestOn: LocalDate | null
}

/** The planning rules do not allow it; `reasons` says which bind, and `short` which lines; the caller that shows them adds the names of packs. */
export class NotPossible extends Refusal {
  readonly short: readonly ShortLine[]
  readonly #find: () => readonly Reason[]
  #reasons: readonly Reason[] | undefined

  /** `find` looks for the reasons when they are first asked for: that may take longer than knowing that there are some. */
  constructor(code: CodeOf<'NOT_POSSIBLE'>, find: () => readonly Reason[], short: readonly ShortLine[] = []) {
    super(code)
    this.short = short
    this.#find = find
  }

  get reasons(): readonly Reason[] {
    this.#reasons ??= this.#find()
    return this.#reasons
  }
}

/** Too much is under way just now, or the database is slow or away; the same request may be sent again. */
export class Busy extends Refusal {
  /** Whole seconds after which it is worth asking again; at least 1. */
  readonly retryAfterSeconds: number

  constructor(retryAfterSeconds: number, code: CodeOf<'BUSY'> = 'BUSY') {
    super(code)
    this.retryAfterSeconds = retryAfterSeconds
  }
}

/** The key is good but does not carry the scope. */
export class Forbidden extends Refusal {
  /** The scope that it lacks, such as `orders:write`. */
  readonly scope: string

  constructor(scope: string) {
    super('SCOPE_MISSING', `The key lacks the scope ${scope}.`)
    this.scope = scope
  }
}

/** The key is part of an address, and may do more than a key there should. */
export class KeyTooStrong extends Refusal {
  constructor() {
    super('KEY_TOO_STRONG_FOR_ADDRESS')
  }
}

/** The request shows no good key. */
export class Unauthenticated extends Refusal {
  constructor(code: CodeOf<'UNAUTHENTICATED'>) {
    super(code)
  }
}
