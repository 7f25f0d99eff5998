// Questions about lines together, and what asking costs.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { availability } from '../../../src/resolvers/promise/availability.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { createAccount } from '../../../src/resolvers/setup/account.ts'
import { retirePack } from '../../../src/resolvers/setup/pack.ts'
import { recordStatements } from '../../support/database.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { actor, scenario } = await openPlannedDemo()
const { today, accounts } = scenario.problem
const account = { id: encodeGlobalId('Account', accounts[0]?.id ?? '') }
const serveOn = addDays(today, 10)
const pack = { externalRef: 'MAR-KEG50' }

test('two lines that each fit alone do not both fit where there is enough for one only', async () => {
  const { days } = await availability(actor, { account, from: serveOn, to: serveOn, packs: [pack] })
  const quantity = days[0]?.packs[0]?.quantity ?? 0
  expect(quantity).toBeGreaterThan(0)
  const alone = await promise(actor, { account, serveOn, lines: [{ pack, quantity }] })
  expect(alone.allOnTime).toBe(true)
  const both = await promise(actor, {
    account,
    serveOn,
    lines: [
      { pack, quantity },
      { pack, quantity },
    ],
  })
  expect(both.lines.map(({ onTime }) => onTime)).toEqual([true, false])
  expect(both.allOnTime).toBe(false)
})

test('asking for the same things again costs one query', async () => {
  const asked = { account, serveOn, lines: [{ pack, quantity: 1 }] }
  await promise(actor, asked)
  const { statements } = await recordStatements(() => promise(actor, asked))
  expect(statements.filter((statement) => /^\s*SELECT/i.test(statement))).toHaveLength(1)
  expect(statements).toHaveLength(1)
})

test('what is wrong is answered each time, and what was retired since is refused at once', async () => {
  await createAccount(actor, { externalRef: 'NO-ROUTE', name: 'On an island', routes: [] })
  const nowhere = { account: { externalRef: 'NO-ROUTE' }, serveOn, lines: [{ pack, quantity: 1 }] }
  for (let times = 0; times < 2; times++)
    await expect(promise(actor, nowhere)).rejects.toMatchObject({
      issues: [{ path: 'account', code: 'ACCOUNT_WITHOUT_ROUTE' }],
    })
  const retiring = { account, serveOn, lines: [{ pack: { externalRef: 'DEC-KEG50' }, quantity: 1 }] }
  await promise(actor, retiring)
  await retirePack(actor, { pack: { externalRef: 'DEC-KEG50' } })
  await expect(promise(actor, retiring)).rejects.toMatchObject({ issues: [{ path: 'lines[0].pack', code: 'RETIRED' }] })
})
