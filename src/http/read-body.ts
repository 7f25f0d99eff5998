// The body of a request to an address that does not speak GraphQL: read only once it is known who asks, and no further than is allowed.
import type { GraphQLError } from 'graphql'
import { refusedRequest } from './refusals.ts'

/** The bytes of a body of at most so many. Throws a refusal (413) where there are more: what is left is not read. */
export async function readBody(request: Request, most: number): Promise<Uint8Array> {
  if (Number(request.headers.get('content-length') ?? 0) > most) throw tooLarge(most)
  const reader = request.body?.getReader()
  const parts: Uint8Array[] = []
  for (let size = 0; reader; ) {
    const { done, value } = await reader.read()
    if (done) break
    size += value.length
    if (size > most) {
      await reader.cancel()
      throw tooLarge(most)
    }
    parts.push(value)
  }
  return new Uint8Array(Buffer.concat(parts))
}

function tooLarge(most: number): GraphQLError {
  return refusedRequest('REQUEST_TOO_LARGE', `The body has more than ${most.toLocaleString('en')} bytes.`)
}
