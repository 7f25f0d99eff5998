// A client that calls the API over HTTP with a key, on connections that stay open.
import { Agent, request } from 'node:http'
import { z } from 'zod'

const answerShape = z.object({
  data: z.record(z.string(), z.unknown()).nullish(),
  errors: z
    .array(z.object({ message: z.string(), extensions: z.record(z.string(), z.unknown()).optional() }))
    .optional(),
})

export type HttpAnswer = z.infer<typeof answerShape>

export interface Caller {
  /** Sends a query. Rejects where the connection breaks, as when the server is killed. */
  ask(query: string, variables?: Record<string, unknown>): Promise<HttpAnswer>
  /** Closes the connections. */
  close(): void
}

/** Calls the server at `address` on at most so many connections. */
export function callerOf(address: string, key: string, connections: number): Caller {
  const agent = new Agent({ keepAlive: true, maxSockets: connections })
  const options = {
    agent,
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${key}` },
  }
  return {
    ask: (query, variables = {}) =>
      new Promise((resolve, reject) => {
        const sent = request(`${address}/graphql`, options, (response) => {
          const chunks: Buffer[] = []
          response.on('data', (chunk: Buffer) => chunks.push(chunk))
          response.on('error', reject)
          response.on('end', () => {
            try {
              resolve(answerShape.parse(JSON.parse(Buffer.concat(chunks).toString('utf8'))))
            } catch (error) {
              reject(error)
            }
          })
        })
        sent.on('error', reject)
        sent.end(JSON.stringify({ query, variables }))
      }),
    close: () => agent.destroy(),
  }
}
