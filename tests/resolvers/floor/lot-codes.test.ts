// The code of a lot is known from the plan on: a fill that was planned gets the code that it showed, said or assumed.
import { expect, test } from 'vitest'
import { dateOf, dayOf } from '../../../src/database/calendar-day.ts'
import { addDays, type LocalDate } from '../../../src/planner/documents/index.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { plannedLotCodes } from '../../../src/resolvers/floor/lot-codes.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, clock, stored } = await openPlannedDemo()
const { distributorId } = actor
const { today } = (await stored()).problem
const ofRun = { distributorId, plan: { status: 'IN_FORCE' as const } }

/** The codes that the API shows for the planned fills from a day on, by day, batch and pack. */
async function shown(from: LocalDate, to: LocalDate): Promise<Map<string, string>> {
  const runs = await client.fillRun.findMany({ where: { ...ofRun, on: { gte: dateOf(from), lte: dateOf(to) } } })
  const codes = await plannedLotCodes(client, distributorId, runs)
  return new Map(
    runs.map(({ on, batchId, brewId, packId }, index) => [
      `${dayOf(on)} ${batchId ?? brewId} ${packId}`,
      codes[index] ?? '',
    ]),
  )
}

/** The lots that were filled of batches from today on, named in the same way. */
async function filled(): Promise<Map<string, string>> {
  const lots = await client.stockLot.findMany({
    where: { distributorId, batchId: { not: null }, filledOn: { gte: dateOf(today) } },
  })
  return new Map(lots.map(({ filledOn, batchId, packId, code }) => [`${dayOf(filledOn)} ${batchId} ${packId}`, code]))
}

test('every planned fill shows a code, and no two lots of the plan have the same', async () => {
  const codes = [...(await shown(today, addDays(today, 60))).values()]
  expect(codes.length).toBeGreaterThan(40)
  expect(new Set(codes).size).toBe(codes.length)
})

test('what is said to be filled in two goes is one lot of the code that the plan showed', async () => {
  const run = await client.fillRun.findFirstOrThrow({
    where: { ...ofRun, on: dateOf(today), batch: { quarantined: false }, quantity: { gt: 2 } },
  })
  const [code] = await plannedLotCodes(client, distributorId, [run])
  // Two runs of one site, day, batch and pack are one lot, whatever they are called.
  expect(await plannedLotCodes(client, distributorId, [run, { ...run, id: 'another' }])).toEqual([code, code])
  const part = { fillRun: run.id, quantity: 1, more: true }
  await recordFacts(actor, { facts: [{ filled: part }] }, 'the floor')
  expect(await plannedLotCodes(client, distributorId, [run])).toEqual([code])
  await recordFacts(actor, { facts: [{ filled: { fillRun: run.id, quantity: run.quantity - 1 } }] }, 'the floor')
  const where = { distributorId, batchId: run.batchId, packId: run.packId, filledOn: dateOf(today) }
  expect(await client.stockLot.findMany({ where })).toMatchObject([{ code, quantity: run.quantity }])
})

test('over days that roll each lot has the code that its fill had', { timeout: 240_000 }, async () => {
  await rollDays(actor)
  const known = await filled()
  const onTheDay = new Map<string, string>()
  for (let day = 0; day < 4; day++) {
    for (const [key, code] of await shown(addDays(today, day), addDays(today, day))) onTheDay.set(key, code)
    clock.set(new Date(clock.now().getTime() + 86_400_000))
    await rollDays(actor)
  }
  const lots = [...(await filled())].filter(([key]) => !known.has(key))
  expect(lots.length).toBeGreaterThan(10)
  expect(lots).toEqual(lots.map(([key]) => [key, onTheDay.get(key)]))
})

test('a correction leaves a lot its code, on another day too', async () => {
  const lot = await client.stockLot.findFirstOrThrow({
    where: { distributorId, filledOn: dateOf(today), batchId: { not: null }, quantity: { gt: 2 } },
  })
  const { id } = await client.fact.findFirstOrThrow({
    where: { distributorId, kind: 'FILLED', subjects: { some: { kind: 'LOT', subjectId: lot.id } } },
  })
  const replace = { filled: { quantity: 2, on: addDays(today, 1) } }
  await correctFact(actor, { fact: encodeGlobalId('Fact', id), replace }, 'the office')
  expect(await client.stockLot.findMany({ where: { distributorId, id: lot.id } })).toMatchObject([
    { code: lot.code, filledOn: dateOf(addDays(today, 1)) },
  ])
})

test('a fill from a planned brew shows the code that it gets once the brew is a batch', async () => {
  const full = await client.batch.findMany({ where: { distributorId, emptiedOn: null } })
  const run = await client.fillRun.findFirstOrThrow({
    where: { ...ofRun, brew: { vesselId: { notIn: full.map(({ vesselId }) => vesselId) } } },
    include: { brew: true },
    orderBy: [{ on: 'asc' }, { id: 'asc' }],
  })
  const [code] = await plannedLotCodes(client, distributorId, [run])
  const before = clock.now()
  clock.set(`${dayOf(run.on)}T12:00:00Z`)
  const brewed = { brewed: { brew: run.brewId, on: dayOf(run.brew?.brewOn ?? run.on) } }
  await recordFacts(actor, { facts: [brewed, { filled: { fillRun: run.id, quantity: run.quantity } }] }, 'the floor')
  clock.set(before)
  const where = { distributorId, batchId: run.brewId, packId: run.packId }
  expect(await client.stockLot.findMany({ where })).toMatchObject([{ code, quantity: run.quantity }])
})
