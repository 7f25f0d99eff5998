// Documents of OASIS UBL beside GraphQL: an Order is sent to /import/ubl, and /export/despatch-advices/<name>.xml is what left for an
// order on a day; /export/despatch-advices.json?day= lists the names of a day.
import type { Plugin } from 'graphql-yoga'
import { answerSent } from './answer-sent.ts'
import { isKnown } from './documents.ts'
import { type HttpAnswer, jsonAnswer, wrongMethod } from './refusals.ts'
import type { Asker } from './run-once.ts'
import { refusal } from './sheets.ts'

/** What a request may have. */
export interface OpenAdvices {
  /** Changes with whatever they depend on. */
  tag: string
  /** The document of that name. Throws `NotFound`. */
  document: (name: string) => Promise<string>
  /** The names of a day, with what each is about. Throws `InvalidInput`. */
  list: (parameters: URLSearchParams) => Promise<object>
}

/** Who may send an order, and what comes of it. */
export interface OpenImport {
  asker: Asker
  /** Takes an order in. Throws a refusal. */
  enter: (document: Uint8Array) => Promise<object>
}

export interface UblOptions {
  /** Bytes of a document that is sent, at most. */
  mostBytes: number
  /** Both throw a refusal where the key is not good, or lacks the scope. */
  openImport: (request: Request, parameters: URLSearchParams) => Promise<OpenImport>
  openAdvices: (request: Request) => Promise<OpenAdvices>
  onFault: (error: unknown, id: string) => void
}

const ORDER = '/import/ubl'
const ADVICES = /^\/export\/despatch-advices(?:\/([^/]+)\.xml|\.json)$/
const SENT = {
  type: /^(application|text)\/(xml|[\w.+-]+\+xml)\s*(;|$)/i,
  typeWords: 'An order is sent with the content type application/xml.',
}

/** Answers requests for documents of UBL. */
export function ublDocuments(options: UblOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      const advices = ADVICES.exec(url.pathname)
      if (url.pathname !== ORDER && !advices) return
      const answer = advices ? adviceAnswer(options, request, url, advices[1]) : orderAnswer(options, request, url)
      const { body, ...init } = await answer.catch((error: unknown) => refusal(error, options.onFault))
      endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
    },
  }
}

async function orderAnswer(options: UblOptions, request: Request, url: URL): Promise<HttpAnswer> {
  const refused = wrongMethod(request, 'POST')
  if (refused) return refused
  const { asker, enter } = await options.openImport(request, url.searchParams)
  const sent = { ...SENT, asked: `${url.pathname}${url.search}`, mostBytes: options.mostBytes }
  const take = async (document: Uint8Array) => ({ answer: await enter(document), isFinal: true })
  return answerSent(request, sent, { asker, take }, options.onFault)
}

async function adviceAnswer(
  { openAdvices }: UblOptions,
  request: Request,
  url: URL,
  name: string | undefined,
): Promise<HttpAnswer> {
  const refused = wrongMethod(request, 'GET', 'HEAD')
  if (refused) return refused
  const { tag, document, list } = await openAdvices(request)
  const etag = `W/"${tag}"`
  const kept = { etag, 'cache-control': 'private, no-cache', vary: 'authorization, x-api-key' }
  if (name === undefined) return jsonAnswer(await list(url.searchParams), kept)
  if (isKnown(request.headers.get('if-none-match'), etag)) return { status: 304, headers: kept, body: null }
  const headers = { ...kept, 'content-type': 'application/xml; charset=utf-8' }
  return { status: 200, headers, body: await document(name) }
}
