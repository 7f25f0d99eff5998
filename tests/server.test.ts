// The port: what is being answered when it closes is answered, and nobody holds it open for long.
import { request } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { listen } from '../src/server.ts'

const HERE = { host: '127.0.0.1', port: 0 }

test('a request that is being answered is finished before the port is closed, and its connection is not kept', async () => {
  const server = await listen((_request, response) => setTimeout(() => response.end('late'), 300), HERE)
  const answer = fetch(server.address).then((response) => response.text())
  await wait(100)
  const began = performance.now()
  await server.close(5000)
  expect(await answer).toBe('late')
  expect(performance.now() - began).toBeLessThan(2000)
})

test('a request that does not end is cut off after the patience', async () => {
  const server = await listen(() => undefined, HERE)
  const cut = new Promise<string>((resolve) => {
    request(server.address)
      .on('error', (error) => resolve(error.message))
      .end()
  })
  await wait(100)
  const began = performance.now()
  await server.close(300)
  expect(performance.now() - began).toBeGreaterThan(250)
  expect(performance.now() - began).toBeLessThan(2000)
  expect(await cut).toBe('socket hang up')
})
