// Refusals as callers see them: each with a code of the catalogue, what to do, and the HTTP status of its code.
import { randomUUID } from 'node:crypto'
import { PothosValidationError } from '@pothos/core'
import { GraphQLError } from 'graphql'
import type { Plugin } from 'graphql-yoga'
import { z } from 'zod'
import { refusedByDatabase } from '../database/refused-by-database.ts'
import { catalogueEntry, type ErrorCode, isErrorCode } from '../error-catalogue.ts'
import { Busy, InvalidInput, issue, NotPossible, Refusal } from '../errors.ts'

/** Refusals of a query as a whole, which each of its root fields throws. */
const OF_WHOLE_QUERY: ReadonlySet<string> = new Set<ErrorCode>([
  'QUERY_TOO_DEEP',
  'QUERY_TOO_LARGE',
  'QUERY_TOO_COSTLY',
])

/** Faults of a whole query are answered once; those that GraphQL itself finds get a code and an action too. */
export const nameFaultsOfQueries: Plugin = {
  onExecutionResult({ result, setResult }) {
    if (!result || Array.isArray(result) || !('errors' in result) || !result.errors) return
    const errors = result.errors.map(named)
    const whole = errors.find(({ extensions }) => OF_WHOLE_QUERY.has(String(extensions.code)))
    setResult(whole ? { errors: [whole] } : { ...result, errors })
  },
}

/** The same error with a code of the catalogue, and with the status of its code. */
function named(error: GraphQLError): GraphQLError {
  const { message, nodes, source, positions, path, originalError } = error
  const { http: _transports, ...extensions } = error.extensions
  const { headers } = transportOf(error)
  const code = codeOf(extensions.code)
  const { kind, action } = catalogueEntry(code)
  return new GraphQLError(message, {
    ...{ nodes, source, positions, path, originalError },
    extensions: { kind, action, ...extensions, code, ...statusOf(code, headers) },
  })
}

/** Our code for one of GraphQL's or yoga's: a fault in the choice of the operation is one of the request, every other one of the query. */
function codeOf(code: unknown): ErrorCode {
  if (isErrorCode(code)) return code
  return code === 'OPERATION_RESOLUTION_FAILURE' ? 'BAD_REQUEST' : 'BAD_QUERY'
}

/**
 * The status of a code, for the transport. Faults that GraphQL finds in a query come with 200 to clients that accept
 * application/json only (`spec`): so the GraphQL over HTTP specification asks. HTTP asks that a 401 names the scheme of keys.
 */
function statusOf(code: ErrorCode, given?: unknown): object {
  const { status } = catalogueEntry(code)
  if (status === 200) return {}
  const headers = status === 401 ? { 'www-authenticate': 'Bearer' } : given
  return { http: { status, ...(code === 'BAD_QUERY' ? { spec: true } : {}), ...(headers ? { headers } : {}) } }
}

/** Refusals that never came to GraphQL have the shape of all others: no empty bodies. */
export const fillEmptyRefusals: Plugin = {
  onResponse({ response, setResponse, fetchAPI }) {
    const code = BY_STATUS[response.status]
    if (response.body !== null || !code) return
    const { meaning, kind, action } = catalogueEntry(code)
    const errors = [{ message: meaning, extensions: { code, kind, action } }]
    const headers = new fetchAPI.Headers(response.headers)
    headers.set('content-type', 'application/json; charset=utf-8')
    setResponse(new fetchAPI.Response(JSON.stringify({ errors }), { status: response.status, headers }))
  },
}

/** Refusals of yoga's own, by the HTTP status with which it answers them. */
const BY_STATUS: Readonly<Record<number, ErrorCode>> = {
  404: 'NO_SUCH_ADDRESS',
  405: 'WRONG_METHOD',
  406: 'WRONG_ANSWER_TYPE',
  413: 'REQUEST_TOO_LARGE',
  415: 'WRONG_CONTENT_TYPE',
}

/** The refusal of a request as a whole, as callers see it; `words` take the place of the catalogue's. */
export function refusedRequest(code: ErrorCode, words?: string, headers?: unknown): GraphQLError {
  const { kind, meaning, action } = catalogueEntry(code)
  return new GraphQLError(words ?? meaning, { extensions: { code, kind, action, ...statusOf(code, headers) } })
}

/** What is sent over HTTP. */
export interface HttpAnswer {
  status: number
  headers: Record<string, string>
  body: string | null
}

/** JSON as an address that does not speak GraphQL answers it. */
export function jsonAnswer(body: object, headers: Record<string, string>): HttpAnswer {
  const all = { ...headers, 'content-type': 'application/json; charset=utf-8' }
  return { status: 200, headers: all, body: JSON.stringify(body) }
}

/** What a request with another method than those is answered; undefined where its method is one of them. */
export function wrongMethod(
  { method }: Pick<Request, 'method'>,
  ...allowed: readonly string[]
): HttpAnswer | undefined {
  if (allowed.includes(method)) return undefined
  return answerOf(refusedRequest('WRONG_METHOD', undefined, { allow: allowed.join(', ') }))
}

/** Statuses of refusals that GraphQL answers with 200, for addresses that do not speak it. */
const BY_KIND: Readonly<Record<string, number>> = {
  INVALID_INPUT: 400,
  FORBIDDEN: 403,
  NOT_FOUND: 404,
  CONFLICT: 409,
  BUSY: 503,
}

const transportShape = z.object({ status: z.int(), headers: z.record(z.string(), z.string()).default({}) })

/** A refusal as an address that does not speak GraphQL answers it: in the same shape, with the status and the headers of its code. */
export function answerOf({ message, extensions: { http, ...extensions } }: GraphQLError): HttpAnswer {
  const { status, headers } = transportShape.parse(http ?? { status: BY_KIND[String(extensions.kind)] ?? 422 })
  return {
    status,
    headers: {
      'content-type': 'application/json; charset=utf-8',
      ...(extensions.retryAfterSeconds === undefined ? {} : { 'retry-after': String(extensions.retryAfterSeconds) }),
      ...headers,
    },
    body: JSON.stringify({ errors: [{ message, extensions }] }),
  }
}

/** What yoga says of its own refusal: its status, and headers such as `Allow`. */
function transportOf({ extensions: { http } }: GraphQLError): { status: number; headers?: unknown } {
  if (typeof http !== 'object' || http === null) return { status: 400 }
  return {
    status: 'status' in http ? Number(http.status) : 400,
    ...('headers' in http ? { headers: http.headers } : {}),
  }
}

/** An error as callers see it: refusals with code and action, faults of a query in GraphQL's words, everything else masked. */
export function shownError(error: unknown, onFault: (error: unknown, id: string) => void): GraphQLError {
  const graphQLError = error instanceof GraphQLError ? error : undefined
  const cause = graphQLError?.originalError ?? error
  if (cause instanceof Refusal) return refused(cause, graphQLError)
  const byDatabase = refusedByDatabase(cause)
  if (byDatabase) return refused(byDatabase, graphQLError)
  if (cause instanceof PothosValidationError)
    return refused(new InvalidInput([issue('', 'BAD_ARGUMENT', cause.message)]), graphQLError)
  if (graphQLError && (cause === graphQLError || cause instanceof GraphQLError)) {
    const { code } = graphQLError.extensions
    if (code !== 'BAD_REQUEST' && code !== 'REQUEST_ENTITY_TOO_LARGE') return graphQLError
    const { status, headers } = transportOf(graphQLError)
    const ours = BY_STATUS[status]
    return refusedRequest(ours ?? 'BAD_REQUEST', ours ? undefined : graphQLError.message, headers)
  }
  // What is no JSON in an address; faults of resolvers come with the field where they were thrown.
  if (!graphQLError && cause instanceof SyntaxError) return refusedRequest('BAD_REQUEST')
  const id = randomUUID()
  onFault(cause, id)
  const { kind, meaning, action } = catalogueEntry('UNEXPECTED')
  return new GraphQLError(meaning, {
    nodes: graphQLError?.nodes,
    path: graphQLError?.path,
    extensions: { code: 'UNEXPECTED', kind, id, action, ...statusOf('UNEXPECTED') },
  })
}

function retryHeaders(refusal: Refusal): object | undefined {
  return refusal instanceof Busy ? { 'retry-after': String(refusal.retryAfterSeconds) } : undefined
}

function refused(refusal: Refusal, at: GraphQLError | undefined): GraphQLError {
  return new GraphQLError(refusal.message, {
    nodes: at?.nodes,
    source: at?.source,
    positions: at?.positions,
    path: at?.path,
    extensions: {
      code: refusal.code,
      kind: refusal.kind,
      action: refusal.action,
      ...(refusal instanceof InvalidInput ? { issues: refusal.issues } : {}),
      ...(refusal instanceof NotPossible ? { reasons: refusal.reasons } : {}),
      ...(refusal instanceof Busy ? { retryAfterSeconds: refusal.retryAfterSeconds } : {}),
      ...statusOf(refusal.code, retryHeaders(refusal)),
    },
  })
}
