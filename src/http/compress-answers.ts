// Answers in JSON are compressed where the client accepts it. Events are not: they come one by one, and must not wait.
import type { Plugin } from 'graphql-yoga'
import { chosenEncoding, compressed } from './encoding.ts'

/** Bytes below which an answer is sent as it is: it fits into one packet. */
const WORTH_IT = 1400
/** Quick rather than small: a fifth of the bytes for a few milliseconds a megabyte. */
const QUALITY = 4

const JSON_TYPE = /^application\/(graphql-response\+)?json\b/

/** Compresses answers in JSON by the request's Accept-Encoding. */
export const compressAnswers: Plugin = {
  async onResponse({ request, response, setResponse, fetchAPI }) {
    if (response.body === null || response.headers.has('content-encoding')) return
    if (!JSON_TYPE.test(response.headers.get('content-type') ?? '')) return
    response.headers.append('vary', 'accept-encoding')
    const encoding = chosenEncoding(request.headers.get('accept-encoding'))
    if (!encoding) return
    const bytes = Buffer.from(await response.arrayBuffer())
    const small = bytes.length < WORTH_IT
    const body = small ? bytes : await compressed(bytes, encoding, QUALITY)
    const headers = new fetchAPI.Headers(response.headers)
    headers.set('content-length', String(body.length))
    if (!small) headers.set('content-encoding', encoding)
    setResponse(new fetchAPI.Response(new Uint8Array(body), { status: response.status, headers }))
  },
}
