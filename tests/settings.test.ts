import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { parseSettings } from '../src/settings.ts'

test('an empty environment gives the embedded database and port 4000 of this machine only', () => {
  expect(parseSettings({})).toEqual({
    databasePool: 10,
    databaseLimits: { lockSeconds: 10, statementSeconds: 30, answerSeconds: 35, idleSeconds: 30 },
    folder: 'var',
    port: 4000,
    host: '127.0.0.1',
    ...{ headersSeconds: 10, bodySeconds: 30, mostConnections: 1000, streamsPerKey: 5 },
    openIntrospection: false,
    queryEditor: true,
    allowedOrigins: [],
    planningPerDistributor: 2,
    waitingWriters: 100,
    newPlanEffort: { seconds: 4 },
    plannerTurns: { atOnce: 2, waiting: 20, seconds: 5 },
    queryCost: 100_000,
  })
})

test('a variable that is empty counts as not set', () => {
  expect(parseSettings({ DATABASE_URL: '', PORT: '' })).toEqual(parseSettings({}))
})

test('every variable is read', () => {
  const environment = {
    DATABASE_URL: 'postgresql://planner@db.example/beer',
    DATABASE_POOL: '3',
    DATABASE_LOCK_SECONDS: '1',
    DATABASE_STATEMENT_SECONDS: '2',
    DATABASE_ANSWER_SECONDS: '3',
    DATABASE_IDLE_SECONDS: '4',
    FILLWRIGHT_FOLDER: '/srv/fillwright',
    PORT: '8080',
    HOST: '0.0.0.0',
    PLANNING_THREADS: '0',
    PLANNING_PER_DISTRIBUTOR: '3',
    PLANNER_REQUESTS: '3',
    PLANNER_WAITING: '4',
    PLANNER_WAIT_SECONDS: '6',
    QUERY_COST: '7000',
    WAITING_WRITERS: '12',
    NEW_PLAN_SECONDS: '0.5',
    HEADERS_SECONDS: '3',
    BODY_SECONDS: '4',
    MOST_CONNECTIONS: '20',
    STREAMS_PER_KEY: '2',
    INTROSPECTION: 'open',
    QUERY_EDITOR: 'off',
    ALLOWED_ORIGINS: 'https://shop.example, http://localhost:3000',
  }
  expect(parseSettings(environment)).toEqual({
    databaseUrl: 'postgresql://planner@db.example/beer',
    databasePool: 3,
    databaseLimits: { lockSeconds: 1, statementSeconds: 2, answerSeconds: 3, idleSeconds: 4 },
    folder: '/srv/fillwright',
    port: 8080,
    host: '0.0.0.0',
    planningThreads: 0,
    planningPerDistributor: 3,
    waitingWriters: 12,
    newPlanEffort: { seconds: 0.5 },
    ...{ headersSeconds: 3, bodySeconds: 4, mostConnections: 20, streamsPerKey: 2 },
    plannerTurns: { atOnce: 3, waiting: 4, seconds: 6 },
    queryCost: 7000,
    openIntrospection: true,
    queryEditor: false,
    allowedOrigins: ['https://shop.example', 'http://localhost:3000'],
  })
})

test('all that is wrong is said at once, by the names of the variables', () => {
  const broken = () =>
    parseSettings({
      DATABASE_URL: 'mysql://x',
      DATABASE_POOL: '0',
      PORT: 'http',
      INTROSPECTION: 'yes',
      ALLOWED_ORIGINS: 'shop',
    })
  expect(broken).toThrow(/DATABASE_URL: .*DATABASE_POOL: .*PORT: .*INTROSPECTION: .*ALLOWED_ORIGINS: /s)
})

test('a server on the embedded database plans: no other process can', () => {
  expect(() => parseSettings({ PLANNING_THREADS: '0' })).toThrow(/PLANNING_THREADS: .*DATABASE_URL/)
  expect(parseSettings({ PLANNING_THREADS: '1' })).toMatchObject({ planningThreads: 1 })
})

test('the README lists every variable', async () => {
  const readme = await readFile('README.md', 'utf8')
  const read = [...(await readFile('src/settings.ts', 'utf8')).matchAll(/^ {2}([A-Z_]+): z/gm)].map(([, name]) => name)
  expect(read.length).toBeGreaterThan(5)
  expect(read.filter((name) => !readme.includes(`\n| \`${name}\` |`))).toEqual([])
})

test('the sources read the environment only to hand it to the parser', async () => {
  const files = await readdir('src', { recursive: true })
  const readers: string[] = []
  for (const file of files.filter((name) => name.endsWith('.ts') && !name.includes('generated'))) {
    const text = await readFile(join('src', file), 'utf8')
    if (text.replaceAll('parseSettings(process.env)', '').includes('process.env')) readers.push(file)
  }
  expect(readers).toEqual([])
})
