// Documents beside GraphQL, read by GET or HEAD: /documents/problem.json and /documents/plan.json. Each names the revision that
// it is of; `?revision=` asks for that one alone, so that two requests give a pair, and a tag spares sending what is known.
import type { Plugin } from 'graphql-yoga'
import { Forbidden } from '../errors.ts'
import { answerOf, type HttpAnswer, jsonAnswer, refusedRequest, shownError, wrongMethod } from './refusals.ts'

const PATHS = { '/documents/problem.json': 'problem', '/documents/plan.json': 'plan' } as const

type DocumentName = (typeof PATHS)[keyof typeof PATHS]

/** The documents of one revision; one that there is none of is absent. */
export type Documents = { revision: number } & { [Name in DocumentName]?: object }

/** What a request may read. */
export interface OpenDocuments {
  /** Changes with whatever the documents depend on. */
  tag: string
  read: () => Promise<Documents>
}

export interface DocumentsOptions {
  /** Throws a refusal where the key is not good, or lacks the scope. */
  open: (request: Request) => Promise<OpenDocuments>
  onFault: (error: unknown, id: string) => void
}

/** Answers requests for documents. */
export function documents({ open, onFault }: DocumentsOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      const name = Object.entries(PATHS).find(([path]) => path === url.pathname)?.[1]
      if (!name) return
      const { body, ...init } = await answer(request, url, name, open).catch((error: unknown) =>
        refusal(error, onFault),
      )
      endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
    },
  }
}

async function answer(
  request: Request,
  url: URL,
  name: DocumentName,
  open: DocumentsOptions['open'],
): Promise<HttpAnswer> {
  const refused = wrongMethod(request, 'GET', 'HEAD')
  if (refused) return refused
  const { tag, read } = await open(request)
  const etag = `W/"${tag}"`
  const asked = url.searchParams.get('revision')
  const kept = { etag, 'cache-control': 'private, no-cache', vary: 'authorization, x-api-key' }
  if (asked === null && isKnown(request.headers.get('if-none-match'), etag))
    return { status: 304, headers: kept, body: null }
  const { revision, [name]: document } = await read()
  if (asked !== null && asked !== String(revision))
    return answerOf(refusedRequest('DOCUMENT_MOVED', `The records are at revision ${revision}, not at "${asked}".`))
  if (!document) return answerOf(refusedRequest('NO_DOCUMENT'))
  return jsonAnswer(document, { ...kept, 'x-revision': String(revision) })
}

/** Whether a client that has the documents under some tags has them as they are (RFC 9110, 13.1.2). */
export function isKnown(tags: string | null, etag: string): boolean {
  return (tags ?? '').split(',').some((tag) => ['*', etag].includes(tag.trim()))
}

/** A missing scope refuses the whole request here, and says which it is as RFC 6750 asks (3.1). */
function refusal(error: unknown, onFault: DocumentsOptions['onFault']): HttpAnswer {
  if (!(error instanceof Forbidden)) return answerOf(shownError(error, onFault))
  const challenge = { 'www-authenticate': `Bearer error="insufficient_scope", scope="${error.scope}"` }
  return answerOf(refusedRequest('DOCUMENT_FORBIDDEN', error.message, challenge))
}
