// How tables are sent: no faster than the client reads, no longer than it is there, and never half a table that looks whole.
import { request as ask, type IncomingMessage } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'
import { createSchema, createYoga } from 'graphql-yoga'
import { afterAll, expect, test } from 'vitest'
import { exports } from '../../src/http/exports.ts'
import { listen } from '../../src/server.ts'

const made = { pages: 0, hasEnded: false }
const faults: unknown[] = []

async function* text(name: string) {
  made.pages = 0
  made.hasEnded = false
  try {
    if (name === 'refused') throw new Error('before the first page')
    for (let page = 0; page < (name === 'endless' ? Number.POSITIVE_INFINITY : 3); page += 1) {
      made.pages += 1
      yield 'x'.repeat(200_000)
      await wait(1)
    }
    if (name === 'broken') throw new Error('after some pages')
  } finally {
    made.hasEnded = true
  }
}

const tables = exports({
  names: ['endless', 'whole', 'broken', 'refused'],
  open: async (_request, name) => text(name),
  onFault: (error) => faults.push(error),
})
const schema = createSchema<object>({ typeDefs: 'type Query { a: Int }' })
const server = await listen(createYoga<object>({ schema, plugins: [tables], logging: false }), {
  host: '127.0.0.1',
  port: 0,
})
afterAll(() => server.close(100))

const get = (name: string) =>
  new Promise<IncomingMessage>((resolve, reject) => {
    ask(`${server.address}/export/${name}.csv`, resolve).on('error', reject).end()
  })

test('a client that does not read is waited for, and for one that went away nothing more is made', async () => {
  const answer = await get('endless')
  await wait(500)
  const { pages } = made
  // What the buffers of both sides hold.
  expect(pages).toBeLessThan(100)
  await wait(300)
  expect(made).toEqual({ pages, hasEnded: false })
  answer.on('error', () => undefined)
  answer.destroy()
  await expect.poll(() => made.hasEnded).toBe(true)
  expect(made.pages).toBeLessThanOrEqual(pages + 1)
})

test('a table is sent whole', async () => {
  let length = 0
  for await (const chunk of await get('whole')) length += chunk.length
  expect([length, made.hasEnded, faults]).toEqual([600_000, true, []])
})

test('after a fault the answer breaks off, and what fails before the first page is answered as a fault', async () => {
  const broken = await get('broken')
  await expect(
    (async () => {
      for await (const _ of broken);
    })(),
  ).rejects.toThrow()
  expect(faults.map(String)).toEqual(['Error: after some pages'])
  expect((await get('refused')).statusCode).toBe(500)
  expect(faults).toHaveLength(2)
})
