// A mutation with the header Idempotency-Key (draft-ietf-httpapi-idempotency-key-header-07) runs once: repeated, it is answered as
// the first time. The answer is kept as it was, so that it is the same whatever has happened since.
import { createHash } from 'node:crypto'
import { type DocumentNode, type ExecutionResult, GraphQLError, getOperationAST, Kind, print } from 'graphql'
import { z } from 'zod'
import type { PrismaClient } from '../database/client.ts'
import { CLAIM_MILLISECONDS, claimOnce, type OnceHandle } from '../database/once.ts'
import { Busy, Refusal } from '../errors.ts'
import { answerOf, type HttpAnswer, refusedRequest, shownError } from './refusals.ts'

/** A request as far as it matters here. */
export interface Asked {
  document: DocumentNode
  operationName?: string | null | undefined
  variableValues?: Record<string, unknown> | null | undefined
  /** The header; null where there is none. */
  header: string | null
}

/** Who asks, and with what. */
export interface Asker {
  client: PrismaClient
  clock: { now(): Date }
  distributorId: string
  keyId: string
  /** Whether mutations with this API key must have the header. */
  isRequired: boolean
}

/** Mutations whose answers have a secret: it is shown once and not kept. */
const WITH_SECRET: ReadonlySet<string> = new Set([
  'createApiKey',
  'rotateApiKey',
  'registerWebhook',
  'rotateWebhookSecret',
])

/** A structured string of RFC 9651: printable ASCII in quotation marks, with `\"` and `\\`. */
const STRUCTURED_STRING = /^"((?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\]){1,255})"$/

/** Runs a request, once where it has the header. Refusals of the request as a whole are answered as errors. */
export async function runOnce(
  asker: Asker,
  asked: Asked,
  execute: (once: OnceHandle | undefined) => Promise<ExecutionResult>,
): Promise<ExecutionResult> {
  const operation = getOperationAST(asked.document, asked.operationName)
  if (asked.header === null) {
    if (asker.isRequired && operation?.operation === 'mutation') return refusedWith('IDEMPOTENCY_KEY_MISSING')
    return execute(undefined)
  }
  const given = STRUCTURED_STRING.exec(asked.header)?.[1]
  if (given === undefined) return refusedWith('BAD_IDEMPOTENCY_KEY')
  const [field, ...more] = operation?.selectionSet.selections ?? []
  if (operation?.operation !== 'mutation' || field?.kind !== Kind.FIELD || more.length > 0)
    return refusedWith('NOT_ONE_MUTATION')
  const { client, clock, distributorId, keyId } = asker
  const request = { distributorId, key: `${keyId} ${given}`, payloadHash: payloadHash(asked) }
  const claimed = await claimOnce(client, clock.now(), request)
  if (typeof claimed === 'string') return asBefore(claimed)
  const hasSecret = WITH_SECRET.has(field.name.value)
  if (hasSecret && claimed.hasWritten) {
    await claimed.release(client)
    return refusedWith('IDEMPOTENT_SECRET_GONE')
  }
  return settling(asker, claimed, execute, (result) =>
    hasSecret || claimed.wasBusy || !isFinal(result) ? undefined : textOf(result),
  )
}

/** Does the work of a claim, which holds meanwhile, and keeps its answer as `textToKeep` says; undefined: it is not kept, and the work can be asked for again. */
async function settling<Answer>(
  { client, clock }: Pick<Asker, 'client' | 'clock'>,
  claimed: OnceHandle,
  work: (claimed: OnceHandle) => Promise<Answer>,
  textToKeep: (answer: Answer) => string | undefined,
): Promise<Answer> {
  // Where the database does not answer the claim runs out, and another may take the request over: the write itself looks.
  const renew = () => claimed.renew(client, clock.now()).catch(() => undefined)
  const renewing = setInterval(renew, CLAIM_MILLISECONDS / 3).unref()
  const answer = await work(claimed)
    .catch(async (error: unknown) => {
      await claimed.release(client)
      throw error
    })
    .finally(() => clearInterval(renewing))
  const text = textToKeep(answer)
  if (text === undefined) await claimed.release(client)
  else await claimed.answered(client, text)
  return answer
}

/** A request to an address that does not speak GraphQL, as far as it matters here. */
export interface AskedBeside {
  /** The header; null where there is none. */
  header: string | null
  /** SHA-256 of all that is asked, in hex. */
  payloadHash: string
}

const keptAnswer = z.object({
  status: z.int(),
  headers: z.record(z.string(), z.string()),
  body: z.string().nullable(),
})

/** The same for an address that does not speak GraphQL. What writes there can be sent again and does no more: nothing is noted of what was written.
 * An answer that is not final is not kept; where it does not say so, its status does. */
export async function answerOnce(
  asker: Asker,
  { header, payloadHash }: AskedBeside,
  answer: () => Promise<HttpAnswer & { isFinal?: boolean }>,
): Promise<HttpAnswer> {
  const { client, clock, distributorId, keyId, isRequired } = asker
  if (header === null) return isRequired ? answerOf(refusedRequest('IDEMPOTENCY_KEY_MISSING')) : answer()
  const given = STRUCTURED_STRING.exec(header)?.[1]
  if (given === undefined) return answerOf(refusedRequest('BAD_IDEMPOTENCY_KEY'))
  const claimed = await claimOnce(client, clock.now(), { distributorId, key: `${keyId} ${given}`, payloadHash })
  if (typeof claimed === 'string') return keptAnswer.parse(JSON.parse(claimed))
  const { isFinal: _, ...first } = await settling(asker, claimed, answer, ({ isFinal, ...each }) =>
    (isFinal ?? (each.status < 500 && each.status !== 429)) ? JSON.stringify(each) : undefined,
  )
  return first
}

function refusedWith(code: Parameters<typeof refusedRequest>[0]): ExecutionResult {
  return { errors: [refusedRequest(code)] }
}

/** SHA-256 of what is asked, in hex: the query without its layout, and its variables whatever their order. */
function payloadHash({ document, operationName, variableValues }: Asked): string {
  const text = JSON.stringify([print(document), operationName ?? null, sorted(variableValues ?? {})])
  return createHash('sha256').update(text).digest('hex')
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, each]) => [key, sorted(each)]),
  )
}

/** Whether an answer is one to give again: not where something failed, or may go well when it is sent again. */
function isFinal({ errors = [] }: ExecutionResult): boolean {
  return errors.every(({ originalError }) => originalError instanceof Refusal && !(originalError instanceof Busy))
}

function textOf({ data, errors }: ExecutionResult): string {
  const shown = errors?.map((error) => shownError(error, () => undefined))
  return JSON.stringify({ data, ...(shown ? { errors: shown } : {}) })
}

function asBefore(text: string): ExecutionResult {
  const { data, errors }: ExecutionResult = JSON.parse(text)
  if (!errors) return { data: data ?? null }
  return { data: data ?? null, errors: errors.map((error) => new GraphQLError(error.message, error)) }
}
