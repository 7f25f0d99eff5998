// One attempt against a receiver on this machine.
import { createServer, type RequestListener } from 'node:http'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { NotAnswered, post } from '../../src/webhooks/post.ts'

let answer: RequestListener = (_request, response) => response.end()
const seen: { url: string; headers: NodeJS.Dict<string | string[]>; body: string }[] = []
const server = createServer((request, response) => {
  let body = ''
  request.on('data', (part) => {
    body += part
  })
  request.on('end', () => {
    seen.push({ url: request.url ?? '', headers: request.headers, body })
    answer(request, response)
  })
})
await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening))
const { port } = z.object({ port: z.number() }).parse(server.address())
afterAll(() => server.close())

const url = new URL(`http://127.0.0.1:${port}/hooks?a=1`)
const allowed = { privateAddresses: true }

test('the body and its headers arrive, and the status is answered', async () => {
  answer = (_request, response) => response.writeHead(204).end()
  expect(await post(url, { 'webhook-id': 'm' }, '{"ä":1}', allowed)).toBe(204)
  expect(seen.at(-1)).toMatchObject({
    url: '/hooks?a=1',
    body: '{"ä":1}',
    headers: { 'webhook-id': 'm', 'content-type': 'application/json' },
  })
})

test.each(['127.0.0.1', 'localhost', '[::1]', '2130706433', '0x7f.1'])(
  'nothing is sent to %s, which is this machine',
  async (host) => {
    const before = seen.length
    await expect(post(new URL(`http://${host}:${port}/`), {}, '{}', { privateAddresses: false })).rejects.toThrow(
      /no address of the public internet/,
    )
    expect(seen).toHaveLength(before)
  },
)

test('a redirect is not followed', async () => {
  answer = (_request, response) => response.writeHead(307, { location: `http://127.0.0.1:${port}/elsewhere` }).end()
  const before = seen.length
  expect(await post(url, {}, '{}', allowed)).toBe(307)
  expect(seen).toHaveLength(before + 1)
})

test('an answer that takes too long, or has no end, is none', async () => {
  answer = () => undefined
  await expect(post(url, {}, '{}', { ...allowed, seconds: 0.2 })).rejects.toThrow('No answer came within 0.2 s.')
  answer = (_request, response) => {
    const more = () => {
      while (!response.destroyed && response.write('x'.repeat(10_000)));
    }
    response.on('drain', more)
    more()
  }
  await expect(post(url, {}, '{}', allowed)).rejects.toThrow(/more than 65536 bytes/)
})

test('a connection that is refused says so', async () => {
  await expect(post(new URL('http://127.0.0.1:1/'), {}, '{}', allowed)).rejects.toBeInstanceOf(NotAnswered)
})
