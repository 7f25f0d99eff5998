// Where containers are, through the API.
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { Snapshots } from '../../src/records/snapshots.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { recordFacts } from '../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { ask, data, client, clock, jobs, faults } = await openTestApi({ planned: true })
const actor = {
  client,
  clock,
  jobs,
  distributorId: DEMO_ID,
  snapshots: new Snapshots(),
  executor: new CommandExecutor(),
  onFault: (error: unknown) => faults.push(error),
}

afterAll(() => expect(faults).toEqual([]))

const QUERY = `query ($site: ThingRef, $type: ThingRef) { containers(site: $site, type: $type) {
  site { id } containerType { id } clean filled onRoad atAccounts missing dirty washing announced
  accounts { account { id } quantity since overdue missing } expected { on quantity } } }`
const places = z.object({
  containers: z.array(
    z.object({
      ...{ site: z.object({ id: z.string() }), containerType: z.object({ id: z.string() }) },
      ...{ clean: z.int(), filled: z.int(), onRoad: z.int(), atAccounts: z.int(), missing: z.int() },
      ...{ dirty: z.int(), washing: z.int(), announced: z.int() },
      accounts: z.array(z.object({ account: z.object({ id: z.string() }), quantity: z.int(), since: z.string() })),
      expected: z.array(z.object({ on: z.string(), quantity: z.int() })),
    }),
  ),
})

test('a return from an account that had none is washed and in one place, and a fleet is found by site and type', async () => {
  const before = places.parse(await data(QUERY)).containers
  const [fleet] = before
  if (!fleet) throw new Error('the demo has fleets')
  const account = await client.account.findFirstOrThrow({ where: { distributorId: DEMO_ID } })
  const of = { site: { id: fleet.site.id }, containerType: { id: fleet.containerType.id } }
  const from = { account: { id: encodeGlobalId('Account', account.id) } }
  await recordFacts(actor, { facts: [{ returned: { ...of, ...from, quantity: 3 } }] }, 'the cellar')
  const variables = { site: of.site, type: of.containerType }
  const { containers } = places.parse(await data(QUERY, variables))
  const { washing, dirty } = fleet
  expect(containers).toMatchObject([{ clean: fleet.clean, filled: fleet.filled, onRoad: 0, atAccounts: 0, missing: 0 }])
  expect((containers[0]?.washing ?? 0) + (containers[0]?.dirty ?? 0)).toBe(washing + dirty + 3)
  expect(containers).toHaveLength(1)
  expect((await ask(QUERY, { site: { externalRef: 'nowhere' } })).errors?.[0]?.extensions).toMatchObject({
    issues: [{ path: 'site', code: 'UNKNOWN_REFERENCE' }],
  })
}, 120_000)
