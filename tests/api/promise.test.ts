// What sales asks through the API: an answer with what else could be had, and what can be offered when.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { ask, data, revision, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const serveOn = addDays(today, 10)

const PROMISE = `query ($input: PromiseInput!) { promise(input: $input) {
  allOnTime earliestServeOn offerToken revision
  lines { serveOn onTime deliveries { route { name } dispatchOn fitOn serveOn sources { kind readyOn } } limits { rule message } }
  alternatives { kind message serveOn offerToken
    lines { pack { externalRef } quantity wantedOn serveOn onTime sources { kind fillOn vessel { name } } limits { rule } } } } }`

const AVAILABILITY = `query ($account: ThingRef!, $from: LocalDate!, $to: LocalDate!, $packs: [ThingRef!]) {
  availability(account: $account, from: $from, to: $to, packs: $packs) {
    revision days { serveOn packs { pack { name externalRef containerType { name } } quantity capped } } } }`

test('a late answer comes with tokens and with what else could be had', async () => {
  const input = { account, serveOn, lines: [{ pack: { externalRef: 'MAR-KEG30' }, quantity: 40 }] }
  const { promise } = await data(PROMISE, { input }, 'sales')
  expect(promise).toMatchObject({ allOnTime: false, alternatives: expect.any(Array) })
  expect(promise).toHaveProperty('alternatives.0.offerToken', expect.stringMatching(/^o1\./))
  expect(promise).toHaveProperty('alternatives.0.message', expect.stringMatching(/\.$/))
  expect(promise).toHaveProperty('lines.0.limits.0.message')
})

test('an answer and each alternative have a line to read out, and each line of the question stands in each alternative', async () => {
  const lines = [
    { pack: { externalRef: 'MAR-KEG50' }, quantity: 1 },
    { pack: { externalRef: 'MAR-KEG30' }, quantity: 4000 },
  ]
  const { promise } = await data(
    `query ($input: PromiseInput!) { promise(input: $input) { summary offerToken alternatives { kind summary
      asked { index pack { name } quantity wantedOn onTime got missing later laterOn lookedThrough sharedWith
        gets { pack { name } quantity serveOn } } } } }`,
    { input: { account, serveOn, lines } },
    'sales',
  )
  expect(promise).toMatchObject({
    offerToken: null,
    summary: expect.stringMatching(/^Not all of it can be had .* Instead: .* What limits it: [^.]+\.$/),
  })
  expect(promise).toHaveProperty('alternatives.0.summary', expect.stringMatching(/^1 × .* on \w+day \d+ \w+/))
  expect(promise).toHaveProperty('alternatives.0.asked.0', expect.objectContaining({ quantity: 1, got: 1, missing: 0 }))
  expect(promise).toHaveProperty('alternatives.0.asked.1', expect.objectContaining({ quantity: 4000, onTime: false }))
})

test('an answer on time says when it is sent out and fit to serve, and has a token', async () => {
  const input = { account, serveOn, lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }] }
  const { promise } = await data(PROMISE, { input }, 'sales')
  expect(promise).toMatchObject({ allOnTime: true, offerToken: expect.stringMatching(/^o1\./), alternatives: [] })
  const { promise: shown } = await data(
    `query ($input: PromiseInput!) { promise(input: $input) { lines { deliveries { dispatchOn fitOn serveOn sources { readyOn } } } } }`,
    { input },
    'sales',
  )
  const days = JSON.stringify(shown)
    .match(/"(?:dispatchOn|fitOn|serveOn)":"[^"]*"/g)
    ?.map((text) => text.slice(-11, -1))
  expect(days).toHaveLength(3)
  expect(days).toEqual([...(days ?? [])].sort())
})

test('what can be offered in four weeks, of all packs, is one query', async () => {
  const { availability } = await data(AVAILABILITY, { account, from: today, to: addDays(today, 27) }, 'sales')
  expect(availability).toMatchObject({ revision: await revision(), days: expect.any(Array) })
  expect(availability).toHaveProperty('days.length', 28)
  expect(availability).toHaveProperty('days.27.serveOn', addDays(today, 27))
  const offered = JSON.stringify(availability)
  expect(offered).toMatch(/"pack":\{"name":"[^"]+","externalRef":"[A-Z0-9-]+"/)
  const packs = [{ externalRef: 'MAR-KEG50' }]
  const { availability: one } = await data(AVAILABILITY, { account, from: serveOn, to: serveOn, packs }, 'sales')
  expect(one).toMatchObject({ days: [{ serveOn, packs: [{ pack: packs[0], capped: false }] }] })
})

test('a wrong question is refused with its path, and so is a key without the scope', async () => {
  const { errors } = await ask(AVAILABILITY, { account, from: serveOn, to: today }, 'sales')
  expect(errors?.[0]?.extensions).toMatchObject({ code: 'SPAN_REVERSED', issues: [{ path: 'to' }] })
  const unknown = await ask(
    AVAILABILITY,
    { account: { externalRef: 'NO-SUCH-ACCOUNT' }, from: today, to: serveOn },
    'sales',
  )
  expect(unknown.errors?.[0]?.extensions).toMatchObject({ issues: [{ path: 'account', code: 'UNKNOWN_REFERENCE' }] })
  const keyless = await ask(AVAILABILITY, { account, from: today, to: serveOn }, null)
  expect(keyless.errors?.[0]?.extensions).toMatchObject({ code: 'KEY_MISSING' })
  expect(faults).toEqual([])
})
