// How the server ends, and who can read what it leaves in its folder.
import { access, chmod, mkdtemp, readFile, rm, stat } from 'node:fs/promises'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type ServerProcess, startServer } from '../../tools/serving/server-process.ts'

let folder: string
let running: ServerProcess | undefined
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'fillwright-'))
})
afterAll(async () => {
  await running?.kill()
  await rm(folder, { recursive: true, force: true })
})

async function started(): Promise<ServerProcess> {
  running = startServer({ FILLWRIGHT_FOLDER: folder })
  await running.until('in a browser')
  return running
}

const keyOf = async () =>
  z.object({ sales: z.string() }).parse(JSON.parse(await readFile(join(folder, 'demo-keys.json'), 'utf8'))).sales

/** Sends half of a question; `finish` sends the rest and answers what comes back. */
async function halfAsked(address: string) {
  const body = JSON.stringify({ query: '{ distributor { name } }' })
  const headers = {
    authorization: `Bearer ${await keyOf()}`,
    'content-type': 'application/json',
    'content-length': body.length,
  }
  const asking = request(`${address}/graphql`, { method: 'POST', headers })
  const answer = new Promise<string>((resolve, reject) => {
    asking.on('error', reject)
    asking.on('response', (response) => {
      let text = ''
      response.on('data', (chunk) => (text += chunk))
      response.on('end', () => resolve(text))
    })
  })
  answer.catch(() => undefined)
  await new Promise<void>((written) => asking.write(body.slice(0, 9), () => written()))
  await wait(200)
  return {
    finish: () => {
      asking.end(body.slice(9))
      return answer
    },
  }
}

const modeOf = async (name: string) => (await stat(join(folder, name))).mode & 0o777

test('asked to end, it answers what was asked, ends what is listened to, closes the database, and ends', async () => {
  const server = await started()
  const listening = await fetch(`${server.address()}/graphql`, {
    method: 'POST',
    headers: {
      accept: 'text/event-stream',
      'content-type': 'application/json',
      authorization: `Bearer ${await keyOf()}`,
    },
    body: JSON.stringify({ query: 'subscription { promiseAtRisk { revision } }' }),
  })
  expect(listening.status).toBe(200)
  const { finish } = await halfAsked(server.address())
  const began = performance.now()
  const ended = server.stop()
  await wait(500)
  expect(JSON.parse(await finish())).toEqual({ data: { distributor: { name: expect.any(String) } } })
  const heard = await listening.text()
  expect(heard, 'a stream that the server ends does not look like one that is over').toContain('"code":"SERVER_STOPS"')
  expect(heard).toContain('event: complete')
  expect(await ended).toBe(0)
  expect(performance.now() - began).toBeLessThan(10_000)
  await expect(access(join(folder, 'database.lock'))).rejects.toThrow('ENOENT')
}, 240_000)

test('the database and the keys are for this user alone, also where they were for all before', async () => {
  expect(await modeOf('database')).toBe(0o700)
  expect(await modeOf('demo-keys.json')).toBe(0o600)
  await chmod(join(folder, 'database'), 0o755)
  await chmod(join(folder, 'demo-keys.json'), 0o644)
  const server = await started()
  expect(await modeOf('database')).toBe(0o700)
  expect(await modeOf('demo-keys.json')).toBe(0o600)

  await halfAsked(server.address())
  const ended = server.stop()
  await wait(1000)
  const began = performance.now()
  await server.stop()
  expect(performance.now() - began, 'a second signal ends it at once').toBeLessThan(1500)
  expect(await ended).toBe(1)
}, 240_000)
