// Where more writers of a distributor wait than are let wait, the next one hears at once when to come again, whatever it writes.
import { expect, test, vi } from 'vitest'
import { Busy } from '../../src/errors.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { WaitingWriters } from '../../src/resolvers/waiting-writers.ts'
import { schema } from '../../src/schema/schema.ts'
import { rootFields, variablesOf } from '../../tools/hostile/walk-schema.ts'
import { openTestApi } from '../support/api.ts'
import { fillingOf } from '../support/things.ts'

const { data, client, scenario, revision } = await openTestApi({ planned: true, waitingWriters: 2 })
const { today, accounts } = scenario.problem
const input = {
  account: { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' },
  serveOn: addDays(today, 10),
  lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }],
  accept: 'AS_DEMAND',
}
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename
  ... on Refusal { code action } ... on Busy { retryAfterSeconds } } }`

const place = async () => (await data(PLACE, { input }, 'sales')).placeOrder

test('of many orders at once the first are placed, the others learn when to come again and leave nothing', async () => {
  const before = await client.order.count()
  // No order is written before the others have their answers.
  let write: () => void = () => undefined
  const written = new Promise<void>((resolve) => {
    write = resolve
  })
  const { execute } = CommandExecutor.prototype
  vi.spyOn(CommandExecutor.prototype, 'execute').mockImplementation(async function (this: CommandExecutor, ...given) {
    await written
    return execute.apply(this, given)
  })
  let answered = 0
  const placing = Array.from({ length: 12 }, () => place().finally(() => answered++))
  await vi.waitUntil(() => answered === 10, { timeout: 30_000 })
  write()
  const answers = await Promise.all(placing)
  vi.restoreAllMocks()
  const placed = answers.filter((each) => JSON.stringify(each).includes('OrderPayload'))
  expect(placed).toHaveLength(2)
  const refused = answers.filter((each) => !placed.includes(each))
  for (const each of refused)
    expect(each).toEqual({
      ...{ __typename: 'Busy', code: 'BUSY', retryAfterSeconds: 1 },
      action: 'Send the same request again after `retryAfterSeconds`.',
    })
  expect(await client.order.count()).toBe(before + placed.length)
})

test('who comes again is served', async () => {
  expect(await place()).toEqual({ __typename: 'OrderPayload' })
})

const MUTATIONS = rootFields(schema).filter(({ operation }) => operation === 'mutation')

test.each(MUTATIONS.map((root) => [root.name, root] as const))(
  '%s waits in the line of all writers',
  async (_, root) => {
    const revisionBefore = await revision()
    vi.spyOn(WaitingWriters.prototype, 'run').mockRejectedValue(new Busy(7))
    const variables = variablesOf(root, fillingOf(new Map()))
    const types = root.field.args.map(({ name, type }) => `$${name}: ${type}`).join(', ')
    const given = root.field.args.map(({ name }) => `${name}: $${name}`).join(', ')
    const query = `mutation (${types}) { written: ${root.name}(${given}) { __typename } }`
    expect(await data(query, variables)).toEqual({ written: { __typename: 'Busy' } })
    vi.restoreAllMocks()
    expect(await revision()).toBe(revisionBefore)
  },
)
