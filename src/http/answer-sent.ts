// What is sent to an address that does not speak GraphQL: its type, its length, and that it is taken once where it has the header
// Idempotency-Key. It is read only once it is known who asks.
import { createHash } from 'node:crypto'
import { readBody } from './read-body.ts'
import { type HttpAnswer, jsonAnswer, refusedRequest } from './refusals.ts'
import { type Asker, answerOnce } from './run-once.ts'
import { refusal } from './sheets.ts'

/** What an address takes. */
export interface Sent {
  /** What is asked beside the body: under one key it must be the same. */
  asked: string
  /** The content type that the body must have, and how a refusal says it. */
  type: RegExp
  typeWords: string
  mostBytes: number
}

/** What became of a body. */
export interface SentAnswer {
  answer: object
  /** Whether it is the answer to give again: not where some of it may go well when it is sent again. */
  isFinal: boolean
}

/** Who sends it, and what takes it in: it throws a refusal where it cannot. */
export interface Taker {
  asker: Asker
  take: (body: Uint8Array) => Promise<SentAnswer>
}

/** Answers a request of one who may send this. Throws a refusal where the body is of another type or too long. */
export async function answerSent(
  request: Request,
  { asked, type, typeWords, mostBytes }: Sent,
  { asker, take }: Taker,
  onFault: (error: unknown, id: string) => void,
): Promise<HttpAnswer> {
  if (!type.test(request.headers.get('content-type') ?? '')) throw refusedRequest('WRONG_CONTENT_TYPE', typeWords)
  const body = await readBody(request, mostBytes)
  const payloadHash = createHash('sha256').update(`${asked}\n`).update(body).digest('hex')
  return answerOnce(asker, { header: request.headers.get('idempotency-key'), payloadHash }, () =>
    take(body).then(
      ({ answer, isFinal }) => ({ ...jsonAnswer(answer, { 'cache-control': 'private, no-store' }), isFinal }),
      (error: unknown) => refusal(error, onFault),
    ),
  )
}
