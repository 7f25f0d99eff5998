// Requests that never reach the handler, as Node cannot read them as HTTP or there are too many connections: they are refused in the shape
// of all others.
import { type OutgoingHttpHeaders, type ServerResponse, STATUS_CODES } from 'node:http'
import type { Duplex } from 'node:stream'
import { catalogueEntry, type ErrorCode } from '../error-catalogue.ts'
import { GUARDS } from './browsers.ts'

/** Our codes for faults of Node's own; all others make the request one that cannot be read. */
const BY_FAULT: Readonly<Record<string, ErrorCode>> = {
  HPE_HEADER_OVERFLOW: 'HEADERS_TOO_LARGE',
  ERR_HTTP_REQUEST_TIMEOUT: 'REQUEST_TOO_SLOW',
}

/** Answers a request that could not be read with its refusal, and closes the connection: what follows on it has no known beginning. */
export function refuseUnreadable(fault: NodeJS.ErrnoException, socket: Duplex): void {
  if (fault.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy()
    return
  }
  const code = BY_FAULT[fault.code ?? ''] ?? 'BAD_REQUEST'
  const { status, headers, body } = refusalOf(code)
  const head = Object.entries(headers).map(([name, value]) => `${name}: ${value}`)
  socket.end(`${[`HTTP/1.1 ${status} ${STATUS_CODES[status]}`, ...head].join('\r\n')}\r\n\r\n${body}`)
}

/** Seconds after which a connection may be free. */
const RETRY_AFTER = 1

/** Refuses a request of a connection that is one too many, and closes it. */
export function refuseCrowded(response: ServerResponse): void {
  const { status, headers, body } = refusalOf('TOO_MANY_CONNECTIONS')
  response.writeHead(status, { ...headers, 'retry-after': String(RETRY_AFTER) }).end(body)
}

/** A refusal after which the connection is closed. */
function refusalOf(code: ErrorCode): { status: number; headers: OutgoingHttpHeaders; body: string } {
  const { status, meaning, kind, action } = catalogueEntry(code)
  const body = JSON.stringify({ errors: [{ message: meaning, extensions: { code, kind, action } }] })
  const headers = {
    'content-type': 'application/json; charset=utf-8',
    'content-length': Buffer.byteLength(body),
    ...GUARDS,
    connection: 'close',
  }
  return { status, headers, body }
}
