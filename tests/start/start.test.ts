// npm start in an empty folder, as a newcomer meets it; beside the tests on a server, since it takes long, also again: how it ends, and who
// can read what it leaves. It runs on the embedded database each time.
import { spawn } from 'node:child_process'
import { access, chmod, mkdtemp, readFile, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type ServerProcess, startServer } from '../../tools/serving/server-process.ts'
import { WHOLE } from '../support/sampled.ts'
import { halfAsked } from './half-asked.ts'

let folder: string
let running: ServerProcess | undefined
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'fillwright-'))
})
afterAll(async () => {
  await running?.kill()
  await rm(folder, { recursive: true, force: true })
})

function start(environment: Record<string, string>): ServerProcess {
  running = startServer({ FILLWRIGHT_FOLDER: folder, ...environment })
  return running
}

const modeOf = async (name: string) => (await stat(join(folder, name))).mode & 0o777

const key = z.string()
const keysShape = z.strictObject({ sales: key, planner: key, floor: key, integrator: key, admin: key })

test('in an empty folder it serves the demo while it plans, shows the plan, and ends when asked to', async () => {
  const { until, address, output, stop } = start({})
  await until('Fillwright answers at')
  expect((await fetch(`${address()}/health/live`)).status).toBe(200)
  expect((await fetch(`${address()}/health/ready`)).status).toBe(200)
  const file = join(folder, 'demo-keys.json')
  const keys = keysShape.parse(JSON.parse(await readFile(file, 'utf8')))
  const response = await fetch(`${address()}/graphql`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.sales}` },
    body: JSON.stringify({ query: '{ distributor { name } accounts { totalCount } }' }),
  })
  expect(await response.json()).toMatchObject({ data: { distributor: { name: 'Quillhaven Brewery' } } })
  const editor = await fetch(`${address()}/graphql`, { headers: { accept: 'text/html' } })
  expect(await editor.text()).toContain('Fillwright')

  await until('in a browser')
  for (const words of ['The next fortnight', 'brew ', 'fill ', 'send ', 'Late', 'Not served', 'Caution', 'Local codes'])
    expect(output()).toContain(words)
  expect(output()).toMatch(/\d+ of \d+ order lines are served on time/)
  expect(output()).toContain(file)
  for (const key of Object.values(keys)) expect(output()).not.toContain(key)
  expect(await stop()).toBe(0)
}, 120_000)

test.runIf(WHOLE)(
  'started again it finds everything as it was, for this user alone also where it was for all, and makes no second plan; asked to end, it answers what was asked, ends what is listened to, closes the database, and ends',
  async () => {
    const before = await readFile(join(folder, 'demo-keys.json'), 'utf8')
    const modes = () => Promise.all([modeOf('database'), modeOf('demo-keys.json')])
    expect(await modes()).toEqual([0o700, 0o600])
    await chmod(join(folder, 'database'), 0o755)
    await chmod(join(folder, 'demo-keys.json'), 0o644)
    const { until, address, output, stop } = start({})
    await until('in a browser')
    expect(await modes()).toEqual([0o700, 0o600])
    expect(output()).toContain('The next fortnight')
    expect(output()).not.toContain('The first plan is made')
    expect(await readFile(join(folder, 'demo-keys.json'), 'utf8')).toBe(before)

    const second = start({})
    expect(await second.ended).toBe(1)
    expect(second.output()).toContain('has the embedded database open')

    const { sales } = keysShape.parse(JSON.parse(before))
    const listening = await fetch(`${address()}/graphql`, {
      method: 'POST',
      headers: {
        accept: 'text/event-stream',
        'content-type': 'application/json',
        authorization: `Bearer ${sales}`,
      },
      body: JSON.stringify({ query: 'subscription { promiseAtRisk { revision } }' }),
    })
    expect(listening.status).toBe(200)
    const { finish } = await halfAsked(address(), sales)
    const began = performance.now()
    const ended = stop()
    await wait(500)
    expect(JSON.parse(await finish())).toEqual({ data: { distributor: { name: expect.any(String) } } })
    const heard = await listening.text()
    expect(heard, 'a stream that the server ends does not look like one that is over').toContain(
      '"code":"SERVER_STOPS"',
    )
    expect(heard).toContain('event: complete')
    expect(await ended).toBe(0)
    expect(performance.now() - began).toBeLessThan(10_000)
    await expect(access(join(folder, 'database.lock'))).rejects.toThrow('ENOENT')
  },
  120_000,
)

test('settings that are wrong are all listed, and nothing is started', async () => {
  const { ended, output } = start({ PORT: 'door', DATABASE_URL: 'mysql://x' })
  expect(await ended).toBe(1)
  expect(output()).toContain('PORT')
  expect(output()).toContain('DATABASE_URL')
})

test.runIf(WHOLE)(
  'a distributor of its own comes with a key that works; a second signal ends its server at once',
  async () => {
    const own = join(folder, 'own')
    const run = (args: string[]) =>
      new Promise<{ code: number | null; output: string }>((resolve) => {
        const child = spawn(process.execPath, ['--import', 'tsx', 'src/start/new-distributor.ts', ...args], {
          env: { ...process.env, DATABASE_URL: '', FILLWRIGHT_FOLDER: own },
        })
        let output = ''
        child.stdout.on('data', (chunk) => (output += chunk))
        child.stderr.on('data', (chunk) => (output += chunk))
        child.on('close', (code) => resolve({ code, output }))
      })
    expect((await run(['Unbuilt Brewery (invented)', 'Moon/Tranquility'])).code).toBe(2)
    const { code, output } = await run(['Osterquill Brewery', 'Europe/London'])
    expect(code).toBe(0)
    const key = /fw_\S+/.exec(output)?.[0]
    const { until, address, stop } = start({ FILLWRIGHT_FOLDER: own })
    await until('in a browser')
    const response = await fetch(`${address()}/graphql`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${key}` },
      body: JSON.stringify({ query: '{ distributor { name } sites { totalCount } }' }),
    })
    expect(await response.json()).toEqual({
      data: { distributor: { name: 'Osterquill Brewery' }, sites: { totalCount: 0 } },
    })

    await halfAsked(address(), key ?? '')
    const ended = stop()
    await wait(500)
    const began = performance.now()
    await stop()
    // Far less than the seconds for which it waits for requests by itself.
    expect(performance.now() - began).toBeLessThan(4000)
    expect(await ended).toBe(1)
  },
  120_000,
)
