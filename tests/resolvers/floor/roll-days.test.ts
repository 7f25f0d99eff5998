// Days pass: what was planned is assumed or due, and the plan in force is valid on each of them.
import { describe, expect, test } from 'vitest'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { recordStatements } from '../../support/database.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, clock, stored } = await openPlannedDemo()
const { distributorId } = actor

/** The plan in force is valid for the records as they are today, and the ledger balances. */
async function holds() {
  const { problem, plan } = await stored()
  const { violations } = checkPlan({ ...problem, baseline: plan }, { ...plan, moved: [] })
  expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  const entries = await client.ledgerEntry.findMany({ where: { distributorId } })
  expect(ledgerFaults(entries.map(entryOf))).toEqual([])
}

async function nextDay() {
  clock.set(new Date(clock.now().getTime() + 86_400_000))
  await rollDays(actor)
}

describe('days that pass without a word', () => {
  test('leave the plan valid and the ledger balanced each day', { timeout: 120_000 }, async () => {
    await rollDays(actor)
    const broken = async () => (await stored()).plan.brokenPromises?.map(({ orderLineId }) => orderLineId) ?? []
    const before = await broken()
    for (let day = 0; day < 7; day++) {
      await nextDay()
      await holds()
      // All has happened as planned: no promise is broken that was kept.
      expect(before).toEqual(expect.arrayContaining(await broken()))
    }
    const assumed = await client.fact.groupBy({ by: ['kind'], where: { distributorId, assumed: true }, _count: true })
    expect(assumed.map(({ kind }) => kind).sort()).toEqual(
      expect.arrayContaining(['BREWED', 'DELIVERED', 'DISPATCHED', 'FILLED']),
    )
  })

  test('are rolled once for twenty who ask at once, from the plan that is known', { timeout: 120_000 }, async () => {
    clock.set(new Date(clock.now().getTime() + 86_400_000))
    const { statements } = await recordStatements(() => Promise.all(Array.from({ length: 20 }, () => rollDays(actor))))
    expect(statements.filter((sql) => /UPDATE .*"rolledThrough"/.test(sql))).toHaveLength(1)
    const reads = statements.filter((sql) => /^SELECT .*"(DeliverySource|PlannedBrew|AccountRoute)"/s.test(sql))
    // A brew of the day is read by its id; nothing is read whole.
    expect(reads.filter((sql) => !/"id" IN \(/.test(sql))).toEqual([])
    await holds()
  })

  test('are not taken back by a server whose clock is behind', async () => {
    const rolled = async () => (await client.distributor.findFirstOrThrow()).rolledThrough
    const before = { through: await rolled(), facts: await client.fact.count() }
    const now = clock.now()
    clock.set(new Date(now.getTime() - 86_400_000))
    await rollDays(actor)
    expect(await rolled()).toEqual(before.through)
    clock.set(now)
    await rollDays(actor)
    expect({ through: await rolled(), facts: await client.fact.count() }).toEqual(before)
  })

  test('assume nothing more after a week', { timeout: 120_000 }, async () => {
    const { id } = await client.fact.findFirstOrThrow({ where: { distributorId }, orderBy: { number: 'desc' } })
    for (let day = 0; day < 3; day++) await nextDay()
    await holds()
    const last = await client.fact.findFirstOrThrow({ where: { distributorId }, orderBy: { number: 'desc' } })
    expect(addDays(last.on.toISOString().slice(0, 10), 1) <= '2027-03-10').toBe(true)
    expect(id).not.toBe('')
  })

  test('are assumed again once something is said', { timeout: 120_000 }, async () => {
    const site = await client.site.findFirstOrThrow({ where: { distributorId } })
    await recordFacts(actor, { facts: [{ fillingEnded: { site: { id: encodeGlobalId('Site', site.id) } } }] }, 'cellar')
    for (let day = 0; day < 4; day++) {
      await nextDay()
      await holds()
    }
    expect(
      await client.fact.count({ where: { distributorId, assumed: true, on: { gt: new Date('2027-03-10') } } }),
    ).toBeGreaterThan(0)
  })
})
