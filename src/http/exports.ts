// Tables beside GraphQL, read by GET or HEAD: /export/<name>.csv. They are sent as they are read, a page at a time and no faster than the
// client takes them; nothing is read any more for a client that went away.
import { AsyncLocalStorage } from 'node:async_hooks'
import { randomUUID } from 'node:crypto'
import { ServerResponse } from 'node:http'
import type { Plugin } from 'graphql-yoga'
import { wrongMethod } from './refusals.ts'
import { refusal } from './sheets.ts'

export interface ExportsOptions {
  /** The names of the tables, such as `orders`. */
  names: readonly string[]
  /** The text of a table, in parts. Throws a refusal where the key or a parameter is not good. */
  open: (request: Request, name: string, parameters: URLSearchParams) => Promise<AsyncGenerator<string, void>>
  onFault: (error: unknown, id: string) => void
}

const ADDRESS = /^\/export\/([a-z-]+)\.csv$/

/** Answers requests for tables. */
export function exports({ names, open, onFault }: ExportsOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, serverContext, endResponse }) {
      const [, name = ''] = ADDRESS.exec(url.pathname) ?? []
      if (!names.includes(name)) return
      try {
        const headers = headersOf(name)
        const refused = wrongMethod(request, 'GET', 'HEAD')
        if (refused) return endResponse(new fetchAPI.Response(refused.body, refused))
        const text = await open(request, name, url.searchParams)
        if (request.method === 'HEAD') return endResponse(new fetchAPI.Response(null, { headers }))
        // What fails at once is answered as a refusal.
        const first = await text.next()
        const body = streamOf(first, text, request.signal, (error) => {
          onFault(error, randomUUID())
          return breakOff(serverContext)
        })
        endResponse(new fetchAPI.Response(body, { headers }))
      } catch (error) {
        const { body, ...init } = refusal(error, onFault)
        endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
      }
    },
  }
}

/** What a client is sent in front (RFC 4180, RFC 6266). */
function headersOf(name: string): Record<string, string> {
  return {
    'content-type': 'text/csv; charset=utf-8; header=present',
    'content-disposition': `attachment; filename="${name}.csv"`,
    'cache-control': 'private, no-store',
    vary: 'authorization, x-api-key',
  }
}

/** The parts as they are asked for. `broken` hears of a fault, and answers whether it has broken off the connection. */
function streamOf(
  first: IteratorResult<string, void>,
  text: AsyncGenerator<string, void>,
  signal: AbortSignal,
  broken: (error: unknown) => boolean,
): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder()
  let known: typeof first | undefined = first
  signal.addEventListener('abort', () => void text.return(), { once: true })
  return new ReadableStream<Uint8Array>(
    {
      // The socket asks for it, which knows nothing of the request for which it is read.
      pull: AsyncLocalStorage.bind(async (controller: ReadableStreamDefaultController<Uint8Array>) => {
        try {
          const next = known ?? (await text.next())
          known = undefined
          if (next.done) return controller.close()
          controller.enqueue(encoder.encode(next.value))
        } catch (error) {
          if (broken(error)) controller.close()
          else controller.error(error)
        }
      }),
      async cancel() {
        await text.return()
      },
    },
    // Nothing is read before it is asked for.
    { highWaterMark: 0 },
  )
}

/** Breaks off the connection, so that half a table never looks whole: an error of the stream itself would end the process. */
function breakOff(serverContext: object | undefined): boolean {
  const response = serverContext && 'res' in serverContext ? serverContext.res : undefined
  if (!(response instanceof ServerResponse)) return false
  response.destroy()
  return true
}
