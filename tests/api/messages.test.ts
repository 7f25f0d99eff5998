// What people read names things as people do: no message of a refusal has a place such as `lines[1]` in it.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { ask, data, scenario } = await openTestApi({ planned: true })
const { today } = scenario.problem
const account = { externalRef: 'C-101' }
const serveOn = addDays(today, 5)
const pack = { externalRef: 'MAR-KEG50' }
const line = { pack, quantity: 1 }
const short = { pack: { externalRef: 'MAR-KEG30' }, quantity: 4000 }

const REFUSED = `__typename ... on InvalidInput { message issues { path message } } ... on Conflict { message }`
const NOT_POSSIBLE = '... on NotPossible { message reasons { message } }'
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ${REFUSED} ${NOT_POSSIBLE} } }`
const AMEND = `mutation ($input: AmendOrderInput!) { amendOrder(input: $input) { ${REFUSED} ${NOT_POSSIBLE} } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) { ${REFUSED} ${NOT_POSSIBLE} } }`
const FILLER = `mutation ($input: ChangeFillerInput!) { changeFiller(input: $input) { ${REFUSED} } }`
const PROMISE = `query ($input: PromiseInput!) { promise(input: $input) {
  summary alternatives { message summary } lines { limits { message } } } }`
const NEW = { account, serveOn, accept: 'ON_TIME_ONLY', externalRef: 'NEW' }

const placed = z.object({
  placeOrder: z.object({
    revision: z.int(),
    order: z.object({ lines: z.tuple([z.object({ id: z.string() }), z.object({ id: z.string() })]) }),
  }),
})
const {
  revision,
  order: { lines: ids },
} = placed.parse(
  await data(
    `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ... on OrderPayload { revision order { lines { id } } } } }`,
    { input: { ...NEW, externalRef: 'TWO', serveOn: addDays(today, 10), lines: [line, line] } },
  ),
).placeOrder
const own = { order: { externalRef: 'TWO' }, accept: 'LATER' }
await data(AMEND, { input: { order: { externalRef: 'TWO' }, cancelLines: [ids[1]] } })

const NO_TYPE = { containerType: { externalRef: 'NONE' }, minutesEach: 1 }
const REFUSALS: [string, string, object][] = [
  ['InvalidInput', PLACE, { ...NEW, lines: [line, { pack, quantity: 0 }] }],
  ['InvalidInput', PLACE, { ...NEW, lines: [line, { pack: { externalRef: 'NONE' }, quantity: 1 }] }],
  ['InvalidInput', FILLER, { filler: { externalRef: 'LINE-1' }, fills: [NO_TYPE] }],
  ['InvalidInput', AMEND, { ...own, changeLines: [2, 3].map((quantity) => ({ line: ids[0], quantity })) }],
  ['NotPossible', PLACE, { ...NEW, lines: [line, short] }],
  ['NotPossible', RESERVE, { account, serveOn, lines: [short] }],
  ['Conflict', PLACE, { ...NEW, externalRef: 'TWO', lines: [line] }],
  ['Conflict', AMEND, { ...own, cancelLines: [ids[1]] }],
  ['Conflict', AMEND, { ...own, ifRevision: revision, changeLines: [{ line: ids[0], quantity: 2 }] }],
]

/** Every text that people read: what stands under `message` or `summary`. */
function read(value: unknown): string[] {
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) =>
    (key === 'message' || key === 'summary') && typeof inner === 'string' ? [inner] : read(inner),
  )
}

test.each(REFUSALS)('a refusal (%s) of %s has words for places', async (kind, query, input) => {
  const { data: answer, errors } = await ask(query, { input })
  expect(errors).toBeUndefined()
  expect(JSON.stringify(answer)).toContain(`"${kind}"`)
  const texts = read(answer)
  expect(texts.length).toBeGreaterThan(0)
  for (const text of texts) expect(text).not.toMatch(/\w+\[\d+\]/)
})

test('what cannot be served is named by its pack and quantity, with how much of it could be', async () => {
  const { data: answer } = await ask(PLACE, { input: { ...NEW, lines: [line, short] } })
  expect(answer).toHaveProperty(
    'placeOrder.message',
    expect.stringMatching(/4000 × [^;]*Marginalia IPA, 30 l keg: not within /),
  )
})

test('a question that cannot be asked is refused in words for places, and answers have such words too', async () => {
  const lines = [line, { pack, quantity: 0 }]
  const { errors } = await ask(PROMISE, { input: { account, serveOn, lines } }, 'sales')
  expect(errors?.[0]?.message).toMatch(/^quantity of line 2: /)
  const { promise } = await data(PROMISE, { input: { account, serveOn, lines: [line, short] } }, 'sales')
  expect(read(promise).length).toBeGreaterThan(2)
  for (const text of read(promise)) expect(text).not.toMatch(/\w+\[\d+\]/)
})
