// Calls the API in this process, without a port.
import { z } from 'zod'
import type { createApp } from '../../src/app.ts'
import type { Send } from './mixed-use.ts'

const answerShape = z.object({ data: z.record(z.string(), z.unknown()).nullish(), errors: z.unknown().optional() })

/** Sends queries with a key to an app. Throws where one is not answered. */
export function senderTo(app: ReturnType<typeof createApp>, key: string): Send {
  return async (query, variables = {}) => {
    const response = await app.fetch('http://bench/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${key}` },
      body: JSON.stringify({ query, variables }),
    })
    const { data, errors } = answerShape.parse(await response.json())
    if (errors !== undefined || !data) throw new Error(`${query} was answered by ${JSON.stringify(errors)}`)
    return data
  }
}
