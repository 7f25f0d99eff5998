// Tables that are sent: POST /import/<name>.csv. The key is judged before the body is read, which may be larger here than elsewhere; with the
// header Idempotency-Key a request runs once, as a mutation does.
import { createHash } from 'node:crypto'
import type { Plugin } from 'graphql-yoga'
import { readBody } from './read-body.ts'
import { answerOf, type HttpAnswer, refusedRequest } from './refusals.ts'
import { type Asker, answerOnce } from './run-once.ts'
import { refusal } from './sheets.ts'

/** Most bytes of a table. */
export const MAX_TABLE_BYTES = 16 * 1024 * 1024

/** What became of a table. */
export interface TableAnswer {
  answer: object
  /** Whether it is the answer to give again: not where some of it may go well when it is sent again. */
  isFinal: boolean
}

/** A request that may send the table. */
export interface OpenImport {
  asker: Asker
  /** Writes a table. Throws a refusal where it is none. */
  write: (bytes: Uint8Array) => Promise<TableAnswer>
}

export interface ImportsOptions {
  /** The names of the tables, such as `orders`. */
  names: readonly string[]
  /** Throws a refusal where the key is not good, or may not write these. */
  open: (request: Request, name: string) => Promise<OpenImport>
  onFault: (error: unknown, id: string) => void
}

const ADDRESS = /^\/import\/([a-z-]+)\.csv$/

/** Answers requests that send tables. */
export function imports(options: ImportsOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      const [, name = ''] = ADDRESS.exec(url.pathname) ?? []
      if (!options.names.includes(name)) return
      const { body, ...init } = await answer(request, name, options).catch((error: unknown) =>
        refusal(error, options.onFault),
      )
      endResponse(new fetchAPI.Response(body, init))
    },
  }
}

async function answer(request: Request, name: string, options: ImportsOptions): Promise<HttpAnswer> {
  if (request.method !== 'POST') return answerOf(refusedRequest('WRONG_METHOD', undefined, { allow: 'POST' }))
  const { asker, write } = await options.open(request, name)
  const type = request.headers.get('content-type') ?? ''
  if (!/^text\/csv\s*(;|$)/i.test(type))
    throw refusedRequest('WRONG_CONTENT_TYPE', 'A table is sent with the header Content-Type: text/csv.')
  const bytes = await readBody(request, MAX_TABLE_BYTES)
  const payloadHash = createHash('sha256').update(`${name}.csv\n`).update(bytes).digest('hex')
  return answerOnce(asker, { header: request.headers.get('idempotency-key'), payloadHash }, () =>
    write(bytes).then(
      ({ answer, isFinal }) => ({ ...jsonAnswer(answer), isFinal }),
      (error: unknown) => refusal(error, options.onFault),
    ),
  )
}

function jsonAnswer(answer: object): HttpAnswer {
  const headers = { 'content-type': 'application/json; charset=utf-8', 'cache-control': 'private, no-store' }
  return { status: 200, headers, body: JSON.stringify(answer) }
}
