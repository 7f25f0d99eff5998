// A body that is refused before it has been read: its sender hears why, and either the connection serves its next request or the answer
// says that it ends.
import { connect } from 'node:net'
import { afterAll, expect, test } from 'vitest'
import { listen } from '../../src/server.ts'
import { openTestApi } from '../support/api.ts'

const { app, keys, faults } = await openTestApi()
const server = await listen(app, { host: '127.0.0.1', port: 0 })
afterAll(() => server.close(300))

const own = `authorization: Bearer ${keys.admin}`
/** Every address that answers before, or while, it reads a body; the status of one whose length is said, and of one in pieces. */
const DOORS: readonly [said: number, inPieces: number, method: string, path: string, ...headers: string[]][] = [
  [401, 401, 'POST', '/import/ubl', 'content-type: application/xml'],
  [415, 415, 'POST', '/import/ubl', 'content-type: text/csv', own],
  [413, 413, 'POST', '/import/ubl', 'content-type: application/xml', own],
  [401, 401, 'POST', '/import/orders.csv', 'content-type: text/csv'],
  [405, 405, 'PUT', '/import/orders.csv', 'content-type: text/csv', own],
  [413, 413, 'POST', '/import/orders.csv', 'content-type: text/csv', own],
  [413, 413, 'POST', '/graphql', 'content-type: application/json'],
  [413, 415, 'POST', '/graphql', 'content-type: application/xml'],
  [413, 405, 'PUT', '/graphql', 'content-type: application/json'],
  [405, 405, 'POST', '/documents/plan.json'],
  [405, 405, 'POST', '/export/orders.csv'],
  [405, 405, 'POST', '/sheets/today.html'],
  [405, 405, 'POST', '/calendars/plan.ics'],
  [404, 404, 'POST', '/nowhere'],
]
/** More than any address takes. */
const BODY = Buffer.alloc(17 * 1024 * 1024, 'x')
const NEXT = 'GET /health/live HTTP/1.1\r\nhost: here\r\nconnection: close\r\n\r\n'

test.each(DOORS)(
  '%i, or %i where the body comes in pieces: %s %s',
  async (said, inPieces, method, path, ...headers) => {
    const head = [`${method} ${path} HTTP/1.1`, 'host: here', ...headers].join('\r\n')
    const whole = await say([`${head}\r\ncontent-length: ${BODY.length}\r\n\r\n`, BODY, NEXT])
    expect(whole).toEqual([{ status: said, isLast: false }, NEXT_ANSWERED])
    const size = BODY.length.toString(16)
    const pieces = await say([`${head}\r\ntransfer-encoding: chunked\r\n\r\n${size}\r\n`, BODY, '\r\n0\r\n\r\n', NEXT])
    const first = { status: inPieces, isLast: inPieces === 413 }
    expect(pieces).toEqual(first.isLast ? [first] : [first, NEXT_ANSWERED])
    expect(faults).toEqual([])
  },
)

const NEXT_ANSWERED = { status: 200, isLast: true }

/** Sends all of it, whatever comes back meanwhile, and answers what came until the connection ended. */
async function say(parts: (string | Buffer)[]): Promise<{ status: number; isLast: boolean }[]> {
  const socket = connect(Number(new URL(server.address).port), '127.0.0.1')
  let heard = ''
  socket.on('data', (piece) => {
    heard += String(piece)
  })
  const ended = new Promise((resolve) => socket.on('close', resolve))
  // The server may end it while much is on its way.
  socket.on('error', () => undefined)
  for (const part of parts) socket.write(part)
  await ended
  const isLast = (answer: string) => /\r\nconnection: close\r\n/i.test(answer)
  const answers = heard.split('HTTP/1.1 ').slice(1)
  return answers.map((each) => ({ status: Number(each.slice(0, 3)), isLast: isLast(each) }))
}
