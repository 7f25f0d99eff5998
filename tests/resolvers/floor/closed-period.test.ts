// A period is closed: what is corrected of its days is booked on the first open day, and the day of the fact stays.
import { expect, test } from 'vitest'
import { dayOf } from '../../../src/database/calendar-day.ts'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeDistributor } from '../../../src/resolvers/setup/distributor.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem
const close = (through: string) => changeDistributor(actor, { closedThrough: through })
const refusal = (code: string) => ({ issues: [expect.objectContaining({ path: 'closedThrough', code })] })

test('what is corrected of a closed day is booked on the first open one, and the closed days keep their sums', async () => {
  await rollDays(actor)
  await expect(close(today)).rejects.toMatchObject(refusal('DAY_NOT_OVER'))
  for (let day = 0; day < 2; day++) {
    clock.set(new Date(clock.now().getTime() + 86_400_000))
    await rollDays(actor)
  }
  await close(today)
  await expect(close(addDays(today, -1))).rejects.toMatchObject(refusal('PERIOD_CLOSED'))
  await close(today)

  const closedDays = { distributorId, on: { lte: new Date(`${today}T00:00:00Z`) } }
  const before = await client.ledgerEntry.findMany({ where: closedDays })
  const fill = await client.fact.findFirstOrThrow({
    where: { distributorId, kind: 'FILLED', assumed: true, on: new Date(`${today}T00:00:00Z`), replacedById: null },
  })
  const { quantity } = Object(fill.data)
  const replace = { filled: { quantity: quantity - 1, spoiled: 1 } }
  const { ids } = await correctFact(actor, { fact: encodeGlobalId('Fact', fill.id), replace }, 'the office')
  const corrected = await client.fact.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: ids[0] ?? '' } },
  })
  expect(dayOf(corrected.on)).toBe(today)
  expect(await client.ledgerEntry.findMany({ where: closedDays })).toEqual(before)
  const entries = (await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf)
  const booked = entries.filter(({ factId }) => factId === corrected.id)
  expect(booked.length).toBeGreaterThan(0)
  expect(new Set(booked.map(({ day }) => day))).toEqual(new Set([addDays(today, 1)]))
  // What it takes back names the entry that it reverses.
  expect(entries.some(({ day, reverses }) => reverses !== undefined && day === addDays(today, 1))).toBe(true)
  expect(ledgerFaults(entries)).toEqual([])
  await expectValid()
})
