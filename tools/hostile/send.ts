// Sends one hostile request as it wants to be sent, and says how it was answered.
import { type Agent, type ClientRequest, type IncomingMessage, request } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import { catalogueEntry, isErrorCode } from '../../src/error-catalogue.ts'
import type { HostileRequest } from './requests.ts'

/** Milliseconds for which a slow reader reads nothing, or one who subscribes listens. */
const PATIENCE = 1000
/** Milliseconds after which a request that has no answer counts as hanging. */
const HANGING = 60_000
/** Bytes from which on a server may refuse a body before all of it was sent. */
const LONG_BODY = 100_000

export interface Outcome {
  /** The status, or the code of the connection's error. */
  answer: string
  /** Why the server must answer otherwise. Absent: it need not. */
  failure?: string
}

/** Sends it. Never rejects. */
export async function send(address: string, agent: Agent, hostile: HostileRequest): Promise<Outcome> {
  const { method, path, body = '', manner } = hostile
  let sent: ClientRequest
  try {
    sent = request(`${address}${path}`, { agent, method, headers: lengthOf(hostile) })
  } catch (error) {
    // Node's own client refuses to send what is no HTTP.
    return { answer: `unsent ${codeOf(error)}` }
  }
  sent.setTimeout(HANGING, () => sent.destroy(Object.assign(new Error('hanging'), { code: 'HANGING' })))
  const answered = new Promise<Outcome>((resolve) => {
    sent.on('error', (error) => resolve(brokenOff(hostile, codeOf(error))))
    sent.on('response', (response) => {
      void heard(response, hostile).then(resolve, (error) => resolve(brokenOff(hostile, codeOf(error))))
    })
  })
  if (manner === 'SLOW_BODY') {
    sent.flushHeaders()
    sent.write(body.slice(0, Math.floor(body.length / 2)))
  } else sent.end(body.length > 0 ? body : undefined)
  if (manner === 'GONE') {
    await wait(Math.random() * 20)
    sent.destroy()
    return { answer: 'gone' }
  }
  return answered
}

function lengthOf({ headers, body, manner }: HostileRequest): Record<string, string | number> {
  return manner === 'SLOW_BODY' && body ? { ...headers, 'content-length': Buffer.byteLength(body) } : headers
}

async function heard(response: IncomingMessage, hostile: HostileRequest): Promise<Outcome> {
  const status = response.statusCode ?? 0
  if (hostile.manner === 'SLOW_READER') {
    response.pause()
    await wait(PATIENCE)
    response.destroy()
    return { answer: String(status) }
  }
  // Subscriptions go on until one leaves.
  if (response.headers['content-type']?.startsWith('text/event-stream')) {
    response.resume()
    await wait(PATIENCE)
    response.destroy()
    return { answer: `${status} stream` }
  }
  const chunks: Buffer[] = []
  for await (const chunk of response) chunks.push(Buffer.from(chunk))
  return judged(status, Buffer.concat(chunks).toString('utf8'), hostile)
}

const errorsShape = z.object({ errors: z.array(z.object({ extensions: z.object({ code: z.string() }) })) })

/** A status from 500 on must be that of a stated limit, and no answer may be a fault of ours. */
function judged(status: number, text: string, hostile: HostileRequest): Outcome {
  const answer = String(status)
  if (text.includes('"UNEXPECTED"')) return { answer, failure: `a fault of ours: ${text.slice(0, 500)}` }
  if (hostile.manner === 'SLOW_BODY' && status !== 408) return { answer }
  if (status < 500) return { answer }
  const codes = codesIn(text)
  const isLimit = codes.length > 0 && codes.every((code) => isErrorCode(code) && catalogueEntry(code).kind === 'BUSY')
  return isLimit ? { answer: `${status} ${codes[0]}` } : { answer, failure: `status ${status}: ${text.slice(0, 500)}` }
}

function codesIn(text: string): string[] {
  try {
    const parsed = errorsShape.safeParse(JSON.parse(text))
    return parsed.success ? parsed.data.errors.map(({ extensions }) => extensions.code) : []
  } catch {
    return []
  }
}

/** A connection that breaks is right where the request was too slow, too long, or left by the client itself. */
function brokenOff({ manner, headers, body = '' }: HostileRequest, code: string): Outcome {
  const isExpected =
    manner !== 'PLAIN' || headers.accept === 'text/event-stream' || (code !== 'HANGING' && body.length > LONG_BODY)
  return isExpected ? { answer: code } : { answer: code, failure: `the connection broke: ${code}` }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : String(error)
}
