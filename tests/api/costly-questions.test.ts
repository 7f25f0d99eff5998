// Questions to the planner cost what they take, and too many at once are refused before any work.
import { setTimeout as pause } from 'node:timers/promises'
import { afterEach, expect, test, vi } from 'vitest'
import { Busy } from '../../src/errors.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { PlannerTurns } from '../../src/resolvers/planner-turns.ts'
import { openTestApi } from '../support/api.ts'
import { recordStatements } from '../support/database.ts'

const { ask, data, app, keys, scenario } = await openTestApi({
  planned: true,
  plannerTurns: { atOnce: 1, waiting: 2, seconds: 30 },
})
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const serveOn = addDays(today, 10)
const lines = (count: number) =>
  Array.from({ length: count }, () => ({ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }))
const PROMISE = 'query ($input: PromiseInput!) { promise(input: $input) { allOnTime } }'

afterEach(() => vi.restoreAllMocks())

/** So many times the same field, under a name each. */
const aliases = (count: number, field: string) => Array.from({ length: count }, (_, n) => `a${n}: ${field}`).join(' ')

test('200 names for a promise of 200 lines are refused before the planner or the database is asked', async () => {
  await data(PROMISE, { input: { account, serveOn, lines: lines(1) } }, 'sales')
  const snapshot = vi.spyOn(Snapshots.prototype, 'current')
  const query = `query ($input: PromiseInput!) { ${aliases(200, 'promise(input: $input) { allOnTime }')} }`
  const { result, statements } = await recordStatements(() =>
    ask(query, { input: { account, serveOn, lines: lines(200) } }, 'sales'),
  )
  expect(result.errors).toMatchObject([{ extensions: { code: 'QUERY_TOO_COSTLY', kind: 'INVALID_INPUT' } }])
  expect(result.status).toBe(400)
  expect(snapshot).not.toHaveBeenCalled()
  // The key, and nothing else.
  const known = await recordStatements(() => ask('{ __typename }', {}, 'sales'))
  expect(statements).toEqual(known.statements)
})

const WHOLE = `summary allOnTime earliestServeOn offerToken revision
  lines { pack { name } serveOn onTime sources { kind quantity fillOn vessel { name } stockLot { code } }
    limits { rule message relief { what amount unit by } } }
  alternatives { kind summary serveOn offerToken
    asked { quantity got missing later laterOn pack { name } gets { quantity serveOn pack { name } } } }`

test.each([
  ['a promise of 200 lines, all of it', `promise(input: $input) { ${WHOLE} }`, 1, true],
  ['twice a promise of 200 lines, all of it', `promise(input: $input) { ${WHOLE} }`, 2, false],
  ['five promises of 200 lines, whether they are on time', 'promise(input: $input) { allOnTime }', 5, true],
  ['ten promises of 200 lines, whether they are on time', 'promise(input: $input) { allOnTime }', 10, false],
])('%s', async (_name, field, count, passes) => {
  const take = vi.spyOn(PlannerTurns.prototype, 'take').mockRejectedValue(new Error('the planner is asked'))
  const query = `query ($input: PromiseInput!) { ${aliases(count, field)} }`
  const { errors } = await ask(query, { input: { account, serveOn, lines: lines(200) } }, 'sales')
  expect(errors?.[0]?.extensions?.code === 'QUERY_TOO_COSTLY').toBe(!passes)
  expect(take).toHaveBeenCalledTimes(passes ? 1 : 0)
})

test('an availability costs by days and packs', async () => {
  const of = (days: number, count: number, packs?: object[]) =>
    ask(
      `query ($packs: [ThingRef!]) { ${aliases(
        count,
        `availability(account: { externalRef: "${account.externalRef}" }, packs: $packs
        from: "${today}", to: "${addDays(today, days - 1)}") { days { serveOn packs { quantity pack { name } } } }`,
      )} }`,
      { packs },
      'sales',
    )
  const codes = async (...asked: Parameters<typeof of>) =>
    (await of(...asked)).errors?.map(({ extensions }) => extensions?.code)
  // More days than plans reach are refused by the question itself, not for what they cost.
  expect(await codes(62, 1)).toEqual(['SERVE_DAY_BEYOND_HORIZON'])
  expect((await of(62, 2)).errors).toMatchObject([{ extensions: { code: 'QUERY_TOO_COSTLY' } }])
  expect((await of(7, 8)).errors).toBeUndefined()
  expect((await of(30, 40, [{ externalRef: 'MAR-KEG50' }])).errors).toBeUndefined()
})

test("a plan's views cost by plan, and its lists by days", async () => {
  const plans = (first: number, fields: string) => ask(`{ plans(first: ${first}) { edges { node { ${fields} } } } }`)
  expect((await plans(100, 'id service { lines }')).errors).toBeUndefined()
  expect((await plans(200, 'id service { lines }')).errors).toMatchObject([
    { extensions: { code: 'QUERY_TOO_COSTLY' } },
  ])
  const load = (from: string, to: string) => `fillerLoad(from: "${from}", to: "${to}") { day minutesUsed }`
  expect((await plans(100, load(today, today))).errors).toBeUndefined()
  expect((await plans(100, load(today, addDays(today, 99)))).errors).toMatchObject([
    { extensions: { code: 'QUERY_TOO_COSTLY' } },
  ])
})

test('of many requests at once the first are answered, the others learn when to come again', async () => {
  const input = { account, serveOn, lines: lines(1) }
  const { current } = Snapshots.prototype
  let answered = 0
  // The first goes on once the five that find no place have been answered.
  vi.spyOn(Snapshots.prototype, 'current').mockImplementation(async function (this: Snapshots, ...args) {
    while (answered < 5) await pause(5)
    return current.apply(this, args)
  })
  const answer = async () => {
    const answer = await ask(PROMISE, { input }, 'sales')
    answered += 1
    return answer
  }
  const answers = await Promise.all(Array.from({ length: 8 }, answer))
  const refused = answers.filter(({ errors }) => errors)
  expect(refused).toHaveLength(5)
  expect(refused.map(({ errors }) => errors?.[0]?.extensions?.code)).toEqual(refused.map(() => 'BUSY'))
  for (const { errors, data } of refused) {
    expect(data).toEqual({ promise: null })
    expect(errors).toMatchObject([
      { extensions: { code: 'BUSY', kind: 'BUSY', retryAfterSeconds: expect.any(Number) } },
    ])
  }
  await data(PROMISE, { input }, 'sales')
})

test('one request asks as many questions as it likes in its one turn', async () => {
  const query = `query ($input: PromiseInput!) { ${aliases(10, 'promise(input: $input) { allOnTime }')} planInForce { service { lines } } }`
  await data(query, { input: { account, serveOn, lines: lines(1) } })
})

test('documents wait for a turn too, and those who find none are asked to come again', async () => {
  vi.spyOn(PlannerTurns.prototype, 'take').mockRejectedValue(new Busy(7))
  const response = await app.fetch('http://test/documents/plan.json', { headers: { 'x-api-key': keys.planner } })
  expect(response.status).toBe(503)
  expect(response.headers.get('retry-after')).toBe('7')
})

const SITE = '{ externalRef: "SITE-1" }'

test.each([
  ['a sheet of the day', `today(site: ${SITE}) { __typename }`],
  ['a fill sheet', `fillSheet(site: ${SITE}) { __typename }`],
  ['a load sheet', 'loadSheet(route: { externalRef: "none" }) { __typename }'],
  ['removals', `removals(from: "${today}", to: "${today}") { __typename }`],
  ['a trace', 'trace(by: { lot: { externalRef: "none" } }) { __typename }'],
  ['a recall', 'recall(of: { lot: { externalRef: "none" } }) { __typename }'],
  ['the containers', 'containers { __typename }'],
])('%s waits for a turn too', async (_, field) => {
  vi.spyOn(PlannerTurns.prototype, 'take').mockRejectedValue(new Busy(7))
  expect((await ask(`{ ${field} }`)).errors).toMatchObject([{ extensions: { code: 'BUSY', retryAfterSeconds: 7 } }])
})

test('a printed sheet waits for a turn too', async () => {
  vi.spyOn(PlannerTurns.prototype, 'take').mockRejectedValue(new Busy(7))
  const response = await app.fetch('http://test/sheets/today.txt?site=SITE-1', {
    headers: { 'x-api-key': keys.planner },
  })
  expect(response.status).toBe(503)
  expect(response.headers.get('retry-after')).toBe('7')
})

test('lines of the orders of lines count as many as an order may have', async () => {
  const orders = (count: number) =>
    ask(`{ orders(first: ${count}) { edges { node { lines { order { lines { quantity } } } } } } }`)
  expect((await orders(10)).errors).toBeUndefined()
  expect((await orders(200)).errors).toMatchObject([{ extensions: { code: 'QUERY_TOO_COSTLY' } }])
})
