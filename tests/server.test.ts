// The port: what is being answered when it closes is answered, and no client holds it open for long.
import { EventEmitter, once } from 'node:events'
import { Agent, type IncomingMessage, request } from 'node:http'
import { connect } from 'node:net'
import { PassThrough } from 'node:stream'
import { setImmediate as nextLook, setTimeout as wait } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { refuseUnreadable } from '../src/http/unreadable-requests.ts'
import { listen } from '../src/server.ts'

const HERE = { host: '127.0.0.1', port: 0 }

test('a request that is being answered is finished before the port is closed, and its connection is not kept', async () => {
  const asking = new EventEmitter()
  const asked = once(asking, 'asked')
  const server = await listen((_request, response) => {
    asking.emit('asked')
    setTimeout(() => response.end('late'), 300)
  }, HERE)
  const answer = fetch(server.address).then((response) => response.text())
  await asked
  const began = performance.now()
  await server.close(30_000)
  expect(await answer).toBe('late')
  expect(performance.now() - began).toBeLessThan(20_000)
})

test('a request that does not end is cut off after the patience', async () => {
  const asking = new EventEmitter()
  const asked = once(asking, 'asked')
  const server = await listen(() => asking.emit('asked'), HERE)
  const cut = new Promise<string>((resolve) => {
    request(server.address)
      .on('error', (error) => resolve(error.message))
      .end()
  })
  await asked
  const began = performance.now()
  await server.close(300)
  expect(performance.now() - began).toBeGreaterThan(250)
  expect(await cut).toBe('socket hang up')
})

test('a request that cannot be read as HTTP is refused in the shape of all others, with the status of its code', async () => {
  const server = await listen((_request, response) => response.end('read'), HERE)
  const { port } = new URL(server.address)
  const long = await say(Number(port), `GET /?query=${'x'.repeat(20_000)} HTTP/1.1\r\nhost: here\r\n\r\n`)
  expect(long).toMatchObject({ status: 431, code: 'HEADERS_TOO_LARGE' })
  const nonsense = await say(Number(port), 'NONSENSE\r\n\r\n')
  expect(nonsense).toMatchObject({ status: 400, code: 'BAD_REQUEST' })
  for (const { action } of [long, nonsense]) expect(action).toMatch(/^Send .*[.]$/)
  await server.close(300)
})

test('a request that does not arrive in time is refused in the same shape, and a connection that is gone gets nothing', async () => {
  const socket = new PassThrough()
  refuseUnreadable(Object.assign(new Error('late'), { code: 'ERR_HTTP_REQUEST_TIMEOUT' }), socket)
  const heard = (await socket.toArray()).join('')
  expect(heard).toMatch(/^HTTP\/1[.]1 408 /)
  expect(heard).toContain('"code":"REQUEST_TOO_SLOW"')
  expect(heard).toMatch(/\r\nx-content-type-options: nosniff\r\n/)
  const gone = new PassThrough()
  refuseUnreadable(Object.assign(new Error('gone'), { code: 'ECONNRESET' }), gone)
  expect(gone.destroyed).toBe(true)
  expect(gone.read()).toBeNull()
})

/** Limits that a test can wait for, in seconds. */
const SHORT = { headersSeconds: 0.3, bodySeconds: 0.6 }

test('headers, and bodies, that do not arrive whole in time are answered 408, and the connection closes', async () => {
  const server = await listen((asked, response) => asked.resume().on('end', () => response.end('read')), {
    ...HERE,
    ...SHORT,
  })
  const port = Number(new URL(server.address).port)
  const head = 'POST / HTTP/1.1\r\nhost: here\r\n'
  expect(await say(port, head)).toMatchObject({ status: 408, code: 'REQUEST_TOO_SLOW' })
  const body = await say(port, `${head}content-length: 100\r\n\r\n{"query"`)
  expect(body).toMatchObject({ status: 408, code: 'REQUEST_TOO_SLOW' })
  await server.close(300)
})

test('a request that came in time is answered, however long the process was too busy to read it', async () => {
  const server = await listen((asked, response) => asked.resume().on('end', () => response.end('read')), {
    ...HERE,
    ...SHORT,
  })
  const socket = connect(Number(new URL(server.address).port), HERE.host)
  await once(socket, 'connect')
  // The server has the connection, and its time runs.
  await wait(100)
  const heard = once(socket, 'data').then(String)
  const request = (close = false) =>
    `POST / HTTP/1.1\r\nhost: here\r\n${close ? 'connection: close\r\n' : ''}content-length: 4\r\n\r\nbody`
  await keepBusy(1000, () => socket.write(request()))
  expect(await heard).toMatch(/^HTTP\/1[.]1 200 /)
  // Only the body, and of a second request.
  const again = once(socket, 'data').then(String)
  socket.write(request(true).slice(0, -4))
  await wait(100)
  await keepBusy(1000, () => socket.write('body'))
  expect(await again).toMatch(/^HTTP\/1[.]1 200 /)
  await server.close(300)
})

test('a second request on a connection that does not arrive in time is refused though the first one did', async () => {
  const server = await listen((_asked, response) => response.end('read'), { ...HERE, ...SHORT })
  const socket = connect(Number(new URL(server.address).port), HERE.host)
  const first = once(socket, 'data').then(String)
  socket.write('GET / HTTP/1.1\r\nhost: here\r\n\r\n')
  expect(await first).toMatch(/^HTTP\/1[.]1 200 /)
  const second = once(socket, 'data').then(String)
  socket.write('GET / HTTP/1.1\r\nhost: here\r\n')
  expect(await second).toMatch(/^HTTP\/1[.]1 408 /)
  await server.close(300)
})

/** Does something, and lets the process hear of nothing for some milliseconds; then its timers come before what it hears. */
async function keepBusy(milliseconds: number, first: () => void): Promise<void> {
  await nextLook()
  first()
  const ends = performance.now() + milliseconds
  while (performance.now() < ends);
}

test('a connection may rest for longer than headers may take to arrive, as long as its answers say', async () => {
  const limits = { ...HERE, ...SHORT, keepAliveSeconds: 2 }
  const server = await listen((_asked, response) => response.end('read'), limits)
  const agent = new Agent({ keepAlive: true, maxSockets: 1 })
  const sockets: unknown[] = []
  const ask = async () => {
    const [response]: IncomingMessage[] = await once(request(server.address, { agent }).end(), 'response')
    sockets.push(response?.socket)
    await response?.resume().toArray()
    return response?.headers['keep-alive']
  }
  expect(await ask()).toBe('timeout=2')
  await wait(700)
  await ask()
  expect(sockets[1]).toBe(sockets[0])
  agent.destroy()
  await server.close(300)
})

test('a request that takes long to answer is not late: only its arrival is', async () => {
  const server = await listen((_asked, response) => setTimeout(() => response.end('late'), 1200), { ...HERE, ...SHORT })
  expect(await fetch(server.address, { method: 'POST', body: '{}' }).then((each) => each.text())).toBe('late')
  await server.close(300)
})

test('requests of connections beyond the most are refused until others have closed', async () => {
  const server = await listen((_asked, response) => response.end('read'), { ...HERE, mostConnections: 2 })
  const port = Number(new URL(server.address).port)
  const idle = [connect(port, HERE.host), connect(port, HERE.host)]
  await Promise.all(idle.map((socket) => once(socket, 'connect')))
  const question = 'GET / HTTP/1.1\r\nhost: here\r\n\r\n'
  const refused = await say(port, question)
  expect(refused).toMatchObject({ status: 503, code: 'TOO_MANY_CONNECTIONS' })
  expect(refused.head).toMatch(/\r\nretry-after: 1\r\n/i)
  expect(refused.head).toMatch(/\r\nx-content-type-options: nosniff\r\n/i)
  for (const socket of idle) socket.destroy()
  await wait(100)
  expect(await fetch(server.address).then((each) => each.text())).toBe('read')
  await server.close(300)
})

const refusalShape = z.object({
  errors: z.tuple([z.object({ extensions: z.object({ code: z.string(), action: z.string() }) })]),
})

/** Sends text as it is, and reads the refusal that comes back. */
async function say(port: number, text: string) {
  const socket = connect(port, HERE.host)
  socket.write(text)
  let heard = ''
  for await (const piece of socket) heard += String(piece)
  const [head = '', body = ''] = heard.split('\r\n\r\n')
  const { errors } = refusalShape.parse(JSON.parse(body))
  return { head, status: Number(head.split(' ')[1]), ...errors[0].extensions }
}
