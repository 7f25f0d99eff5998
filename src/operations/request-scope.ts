// What is known of the request that is being answered, for whatever is logged, counted or traced while it is.
import { AsyncLocalStorage } from 'node:async_hooks'
import { randomUUID } from 'node:crypto'

export interface RequestScope {
  /** By which the caller and the log name the request. */
  requestId: string
  /** When it began, in milliseconds of `performance.now()`. */
  began: number
  /** `query`, `mutation`, `subscription`, or what is asked for beside GraphQL. */
  operation: string
  /** The root fields that it asks for, without their aliases. */
  fields: readonly string[]
  /** Codes of what was refused. */
  codes: Set<string>
  /** Whose key it shows. Absent: it shows none, or one that is not good. */
  caller?: { distributorId: string; keyId: string }
}

const scopes = new AsyncLocalStorage<RequestScope>()

/** An id of a caller's own that can stand in a log and in a header as it is. */
const GOOD_ID = /^[\w.:/+=-]{1,128}$/

/** The scope of a new request; it keeps the caller's id where that is one. */
export function newScope(givenId: string | null): RequestScope {
  const requestId = givenId !== null && GOOD_ID.test(givenId) ? givenId : randomUUID()
  return { requestId, began: performance.now(), operation: 'other', fields: [], codes: new Set() }
}

/** Does the work of a request within its scope. */
export function inRequest<Result>(scope: RequestScope, work: () => Result): Result {
  return scopes.run(scope, work)
}

/** The request that is being answered. Absent: none is. */
export function currentRequest(): RequestScope | undefined {
  return scopes.getStore()
}
