// Requests that Node cannot read as HTTP, and so never reach the handler: they are refused in the shape of all others.
import { STATUS_CODES } from 'node:http'
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
  const { status, meaning, kind, action } = catalogueEntry(code)
  const body = JSON.stringify({ errors: [{ message: meaning, extensions: { code, kind, action } }] })
  const head = [
    `HTTP/1.1 ${status} ${STATUS_CODES[status]}`,
    'content-type: application/json; charset=utf-8',
    `content-length: ${Buffer.byteLength(body)}`,
    ...Object.entries(GUARDS).map(([name, value]) => `${name}: ${value}`),
    'connection: close',
  ]
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`)
}
