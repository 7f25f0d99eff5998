// One attempt: a POST to an address that may be connected to, within limits of time and size. Redirects are not followed.
import { lookup as resolve } from 'node:dns/promises'
import { request as overHttp } from 'node:http'
import { request as overHttps } from 'node:https'
import { isIP, type LookupFunction } from 'node:net'
import { isPublic } from './addresses.ts'

/** Seconds within which the answer has arrived: the specification advises 15 to 30. */
export const MOST_SECONDS = 15
/** Bytes of an answer that are read; nothing of it is kept. */
const MOST_BYTES = 64 * 1024

export interface PostOptions {
  /** Whether addresses within a network may be connected to. */
  privateAddresses: boolean
  /** Absent: `MOST_SECONDS`. */
  seconds?: number
  signal?: AbortSignal
}

/** Why there was no answer, as a sentence. */
export class NotAnswered extends Error {}

/** Sends the body and answers the status. Throws `NotAnswered`. */
export async function post(
  url: URL,
  headers: Record<string, string>,
  body: string,
  { privateAddresses, seconds = MOST_SECONDS, signal }: PostOptions,
): Promise<number> {
  const late = AbortSignal.timeout(seconds * 1000)
  const host = url.hostname.replace(/^\[|\]$/g, '')
  const isAllowed = (address: string) => privateAddresses || isPublic(address)
  // A name is looked up by `lookup` for the connection itself; an address is not looked up at all.
  if (isIP(host) && !isAllowed(host)) throw notAllowed(host)
  try {
    return await send(url, headers, body, {
      signal: AbortSignal.any([late, ...(signal ? [signal] : [])]),
      lookup: lookupOf(isAllowed),
      isAllowed,
    })
  } catch (error) {
    if (signal?.aborted) throw signal.reason
    if (error instanceof NotAnswered) throw error
    if (late.aborted) throw new NotAnswered(`No answer came within ${seconds} s.`)
    throw new NotAnswered(`The connection failed: ${error instanceof Error ? error.message : String(error)}.`)
  }
}

interface Sending {
  signal: AbortSignal
  lookup: LookupFunction
  isAllowed: (address: string) => boolean
}

function send(
  url: URL,
  headers: Record<string, string>,
  body: string,
  { signal, lookup, isAllowed }: Sending,
): Promise<number> {
  return new Promise((settle, fail) => {
    const request = url.protocol === 'https:' ? overHttps : overHttp
    // No connection is used again: each attempt is judged by the address that it is connected to.
    const sent = request(url, {
      ...{ method: 'POST', agent: false, lookup, signal },
      headers: { ...headers, 'content-type': 'application/json', 'content-length': Buffer.byteLength(body) },
    })
    sent.on('socket', (socket) =>
      socket.once('connect', () => {
        const address = socket.remoteAddress ?? ''
        if (!isAllowed(address)) sent.destroy(notAllowed(address))
      }),
    )
    sent.on('error', fail)
    sent.on('response', (answer) => {
      let bytes = 0
      answer.on('data', (part: Buffer) => {
        bytes += part.length
        if (bytes > MOST_BYTES) sent.destroy(new NotAnswered(`The answer has more than ${MOST_BYTES} bytes.`))
      })
      answer.on('error', fail)
      answer.on('end', () => settle(answer.statusCode ?? 0))
    })
    sent.end(body)
  })
}

/** Looks a name up and lets only addresses through that may be connected to. */
function lookupOf(isAllowed: (address: string) => boolean): LookupFunction {
  return (host, { family }, found) => {
    resolve(host, { all: true, family: family === 4 || family === 6 ? family : 0 }).then(
      (all) => {
        const allowed = all.filter(({ address }) => isAllowed(address))
        if (allowed.length === 0) found(notAllowed(host), [])
        else found(null, allowed)
      },
      (error: unknown) => found(error instanceof Error ? error : new Error(String(error)), []),
    )
  }
}

function notAllowed(address: string): NotAnswered {
  return new NotAnswered(`${address} is no address of the public internet.`)
}
