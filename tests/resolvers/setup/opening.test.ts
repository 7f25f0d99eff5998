// Set-up of batches, lots and fleets is their opening in the ledger; once a fact names them, facts alone say what they hold.
import { afterEach, describe, expect, test } from 'vitest'
import type { InvalidInput } from '../../../src/errors.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeBatch, createBatch } from '../../../src/resolvers/setup/batch.ts'
import { createContainerType } from '../../../src/resolvers/setup/container-type.ts'
import { changeFleet, createFleet } from '../../../src/resolvers/setup/fleet.ts'
import { changeStockLot, createStockLot } from '../../../src/resolvers/setup/stock-lot.ts'
import { createVessel } from '../../../src/resolvers/setup/vessel.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { expectReplayed } from '../../support/replayed.ts'

const { client, actor, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = (await stored()).problem
const pack = await client.pack.findFirstOrThrow({ where: { distributorId, externalRef: 'FOO-FIRKIN' } })
const site = await client.site.findFirstOrThrow({ where: { distributorId }, orderBy: { id: 'asc' } })
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const mine = (externalRef: string) => ({ externalRef })
const record = (fact: object) => recordFacts(actor, { facts: [fact] }, 'the cellar')
const factsOf = (kind: string) =>
  client.fact.findMany({ where: { distributorId, kind, revision: { gt: 0 } }, orderBy: { number: 'asc' } })
const saidByFacts = (error: InvalidInput) =>
  error.issues.map(({ path, code, message }) => (code === 'SAID_BY_FACTS' ? `${path}: ${message}` : code))

await createVessel(actor, {
  ...{ externalRef: 'EXTRA-FV', site: refOf('Site', site.id), name: 'Extra', kind: 'FERMENTER' },
  ...{ capacityLitres: 2000, minFillLitres: 0, turnaroundDays: 1 },
})

afterEach(async () => {
  await expectReplayed(client, distributorId)
  await expectValid()
})

describe('a batch', () => {
  const batch = mine('EXTRA')
  const entered = {
    ...{ externalRef: 'EXTRA', code: 'X-1', beer: refOf('Beer', pack.beerId), vessel: mine('EXTRA-FV') },
    ...{ litres: 1200, readyAt: `${today}T06:00:00Z` },
  }

  test('is opened by what set-up enters, and anew by what it changes before a fact names it', async () => {
    const { id } = await createBatch(actor, entered)
    await changeBatch(actor, { batch, litres: 1100, primable: false })
    await changeBatch(actor, { batch, code: 'X-2' })
    const openings = (await factsOf('BATCH_OPENING')).filter(({ data }) => Object(data).batchId === id)
    expect(openings.map(({ data, replacedById }) => [Object(data).ml, replacedById !== null])).toEqual([
      [1_200_000, true],
      [1_100_000, false],
    ])
  })

  test('whose vessel was emptied holds nothing, and holds beer again where that was a mistake', async () => {
    await changeBatch(actor, { batch, emptiedOn: today })
    expect(await client.batch.findFirstOrThrow({ where: { distributorId, ...batch } })).toMatchObject({ litres: 0 })
    await expect(changeBatch(actor, { batch, emptiedOn: null })).rejects.toMatchObject({ code: 'OUT_OF_RANGE' })
    await changeBatch(actor, { batch, emptiedOn: null, litres: 1000 })
  })

  test('keeps its set-up name and no more once a fact names it, until the fact is withdrawn', async () => {
    // At the expected end of its beer: it moves nothing.
    const { ids } = await record({ reading: { batch, gravity: 1.008 } })
    const asked = { batch, litres: 900, readyAt: `${today}T07:00:00Z`, quarantined: true, brewedOn: today }
    await expect(changeBatch(actor, asked)).rejects.toSatisfy((error: InvalidInput) => {
      expect(saidByFacts(error)).toEqual([
        `litres: facts say it since ${today} (READING): record \`batchCounted\``,
        `readyAt: facts say it since ${today} (READING): record \`ready\``,
        `brewedOn: facts say it since ${today} (READING): correct the fact \`brewed\``,
        `quarantined: facts say it since ${today} (READING): record \`batchQuarantined\` or \`batchReleased\``,
      ])
      return true
    })
    // The same instant in other words is no change.
    await changeBatch(actor, {
      batch,
      code: 'X-3',
      litres: 1000,
      vessel: mine('EXTRA-FV'),
      readyAt: `${today}T08:00:00+02:00`,
    })
    await correctFact(actor, { fact: encodeGlobalId('Fact', ids[0] ?? ''), withdraw: true }, 'the office')
    await changeBatch(actor, { batch, litres: 900 })
    await record({ batchCounted: { batch, litres: 850 } })
    expect(await client.batch.findFirstOrThrow({ where: { distributorId, ...batch } })).toMatchObject({ litres: 850 })
  })
})

describe('a lot', () => {
  const lot = mine('EXTRA-LOT')

  test('is opened by what set-up enters; once a fact names it, it keeps its quantity and days', async () => {
    await createStockLot(actor, {
      ...{
        externalRef: 'EXTRA-LOT',
        code: 'XL-1',
        site: refOf('Site', site.id),
        pack: refOf('Pack', pack.id),
        quantity: 8,
      },
      ...{ filledOn: today, readyOn: today, bestBefore: '2027-04-20' },
    })
    await changeStockLot(actor, { stockLot: lot, quantity: 9, bestBefore: '2027-04-21' })
    await record({ issued: { lot, quantity: 2, to: 'SAMPLE' } })
    await expect(
      changeStockLot(actor, { stockLot: lot, quantity: 9, bestBefore: '2027-04-22', code: 'XL-2' }),
    ).rejects.toSatisfy((error: InvalidInput) => {
      expect(saidByFacts(error).map((each) => each.split(': ').at(-1))).toEqual([
        'record `lotCounted`',
        'correct the fact `filled`',
      ])
      return true
    })
    expect(await client.stockLot.findFirstOrThrow({ where: { distributorId, ...lot } })).toMatchObject({
      quantity: 7,
      code: 'XL-1',
    })
    await record({ lotCounted: { lot, quantity: 6 } })
  })
})

describe('a fleet', () => {
  const fleet = mine('EXTRA-FLEET')
  const ofFleet = { site: refOf('Site', site.id), containerType: mine('EXTRA-TYPE') }

  test('is opened by what set-up enters; once its containers moved, its count follows from facts', async () => {
    await createContainerType(actor, { externalRef: 'EXTRA-TYPE', name: 'Extra', kind: 'CASK', nominalLitres: 20 })
    await createFleet(actor, { externalRef: 'EXTRA-FLEET', ...ofFleet, cleanNow: 20 })
    await changeFleet(actor, { fleet, cleanNow: 25 })
    expect((await factsOf('FLEET_OPENING')).map(({ data }) => Object(data).quantity)).toEqual([20, 25])
    await record({ bought: { ...ofFleet, quantity: 5 } })
    await expect(changeFleet(actor, { fleet, cleanNow: 25 })).rejects.toSatisfy((error: InvalidInput) => {
      expect(saidByFacts(error)).toEqual([`cleanNow: facts say it since ${today} (BOUGHT): record \`fleetCounted\``])
      return true
    })
    await changeFleet(actor, { fleet, cleanNow: 30, washDays: 2, returns: [{ on: '2027-03-09', quantity: 3 }] })
    await record({ fleetCounted: { ...ofFleet, quantity: 28 } })
  })

  test('that is set up after facts about its containers starts from what those left', async () => {
    const type = mine('LATE-TYPE')
    await createContainerType(actor, { externalRef: 'LATE-TYPE', name: 'Late', kind: 'CASK', nominalLitres: 20 })
    await record({ bought: { ...ofFleet, containerType: type, quantity: 5 } })
    await createFleet(actor, { externalRef: 'LATE', ...ofFleet, containerType: type, cleanNow: 7 })
    expect(await client.fleet.findFirstOrThrow({ where: { distributorId, externalRef: 'LATE' } })).toMatchObject({
      cleanNow: 12,
    })
  })
})
