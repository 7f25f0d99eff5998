// Tables that are sent: POST /import/<name>.csv. The key is judged before the body is read, which may be larger here than elsewhere; with the
// header Idempotency-Key a request runs once, as a mutation does.
import type { Plugin } from 'graphql-yoga'
import { answerSent, type SentAnswer } from './answer-sent.ts'
import { type HttpAnswer, wrongMethod } from './refusals.ts'
import type { Asker } from './run-once.ts'
import { refusal } from './sheets.ts'

/** Most bytes of a table. */
export const MAX_TABLE_BYTES = 16 * 1024 * 1024

/** A request that may send the table. */
export interface OpenImport {
  asker: Asker
  /** Writes a table. Throws a refusal where it is none. */
  write: (bytes: Uint8Array) => Promise<SentAnswer>
}

export interface ImportsOptions {
  /** The names of the tables, such as `orders`. */
  names: readonly string[]
  /** Throws a refusal where the key is not good, or may not write these. */
  open: (request: Request, name: string) => Promise<OpenImport>
  onFault: (error: unknown, id: string) => void
}

const SENT = {
  type: /^text\/csv\s*(;|$)/i,
  typeWords: 'A table is sent with the header Content-Type: text/csv.',
  mostBytes: MAX_TABLE_BYTES,
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
  const refused = wrongMethod(request, 'POST')
  if (refused) return refused
  const { asker, write } = await options.open(request, name)
  return answerSent(request, { ...SENT, asked: `${name}.csv` }, { asker, take: write }, options.onFault)
}
