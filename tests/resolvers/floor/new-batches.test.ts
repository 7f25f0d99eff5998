// Beer in vessels becomes a batch of its own: a part that is moved, and batches that are blended.
import { afterEach, describe, expect, test } from 'vitest'
import type { InvalidInput } from '../../../src/errors.ts'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { readStrengths } from '../../../src/records/batch-strengths.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const record = async (fact: object) => (await recordFacts(actor, { facts: [fact] }, 'the cellar')).ids[0] ?? ''
const withdraw = (id: string) => correctFact(actor, { fact: encodeGlobalId('Fact', id), withdraw: true }, 'the office')
const dataOf = async (id: string) =>
  Object((await client.fact.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })).data)
const batchOf = (id: string) => client.batch.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const codesOf = (error: InvalidInput) => error.issues.map(({ path, code }) => `${path} ${code}`)

/** Batches of a site that has an empty vessel, those with most beer first, and that vessel. */
async function cellar() {
  const batches = await client.batch.findMany({
    where: { distributorId, emptiedOn: null, quarantined: false },
    orderBy: { litres: 'desc' },
  })
  const held = (await client.batch.findMany({ where: { distributorId, emptiedOn: null } })).map((each) => each.vesselId)
  const siteIds = batches.map(({ siteId }) => siteId)
  const empty = await client.vessel.findFirstOrThrow({
    where: { distributorId, siteId: { in: siteIds }, id: { notIn: held } },
    orderBy: { capacityLitres: 'desc' },
  })
  return { batches: batches.filter(({ siteId }) => siteId === empty.siteId), empty }
}

/** The plan in force is valid for the records, and the ledger balances. */
afterEach(async () => {
  const { problem, plan } = await stored()
  const { violations } = checkPlan({ ...problem, baseline: plan }, { ...plan, moved: [] })
  expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  expect(ledgerFaults((await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf))).toEqual([])
})

describe('a part that is moved', () => {
  test('is a batch of its own, of the same beer, and what stays is less; withdrawn, all is back', async () => {
    const { batches, empty: to } = await cellar()
    const [parent] = batches
    if (!parent) throw new Error('the demo has a batch beside an empty vessel')
    const litres = 100
    const id = await record({
      partTransferred: { batch: refOf('Batch', parent.id), vessel: refOf('Vessel', to.id), litres },
    })
    const { newBatchId } = await dataOf(id)
    const part = await batchOf(newBatchId)
    expect(part).toMatchObject({ beerId: parent.beerId, vesselId: to.id, litres, emptiedOn: null })
    expect(part).toMatchObject({ readyAt: parent.readyAt, primable: parent.primable })
    expect((await batchOf(parent.id)).litres).toBeCloseTo(parent.litres - litres, 3)

    await withdraw(id)
    expect((await batchOf(newBatchId)).emptiedOn).not.toBeNull()
    expect((await batchOf(parent.id)).litres).toBeCloseTo(parent.litres, 3)
  })

  test('goes into an empty vessel that holds it, on its own site: everything that is wrong is said', async () => {
    const { batches } = await cellar()
    const [parent, other] = batches
    if (!parent || !other) throw new Error('the demo has two batches')
    const wrong = { batch: refOf('Batch', parent.id), vessel: refOf('Vessel', other.vesselId), litres: 900_000 }
    await expect(record({ partTransferred: wrong })).rejects.toSatisfy((error: InvalidInput) => {
      const codes = codesOf(error)
      const at = 'facts[0].partTransferred'
      return (
        codes.includes(`${at}.vessel VESSEL_HOLDS_TWO_BATCHES`) && codes.includes(`${at}.litres MORE_THAN_VESSEL_HOLDS`)
      )
    })
  })
})

describe('a blend', () => {
  test('of two batches in the vessel of one of them is ready when both are, and both are gone', async () => {
    const { batches } = await cellar()
    const vessels = await client.vessel.findMany({ where: { distributorId } })
    const capacity = (id: string) => vessels.find((each) => each.id === id)?.capacityLitres ?? 0
    // A little of one into the vessel of the other.
    const [one, two] = batches
    if (!one || !two) throw new Error('the demo has two batches')
    const room = capacity(one.vesselId) - one.litres
    const litres = Math.min(50, Math.floor(room))
    expect(litres).toBeGreaterThan(0)
    const parts = [{ batch: refOf('Batch', one.id) }, { batch: refOf('Batch', two.id), litres }]
    const id = await record({
      blended: { vessel: refOf('Vessel', one.vesselId), beer: refOf('Beer', one.beerId), batches: parts },
    })
    const { newBatchId } = await dataOf(id)
    const blend = await batchOf(newBatchId)
    expect(blend.readyAt.getTime()).toBe(Math.max(one.readyAt.getTime(), two.readyAt.getTime()))
    expect(blend.litres).toBeCloseTo(one.litres + litres, 3)
    expect((await batchOf(one.id)).emptiedOn).not.toBeNull()
    const left = await batchOf(two.id)
    expect([left.emptiedOn, left.litres]).toEqual([null, expect.closeTo(two.litres - litres, 3)])

    await withdraw(id)
    expect((await batchOf(newBatchId)).emptiedOn).not.toBeNull()
    for (const { id: batchId, litres: had } of [one, two]) {
      const again = await batchOf(batchId)
      expect([again.emptiedOn, again.litres]).toEqual([null, expect.closeTo(had, 3)])
    }
  })

  test('of batches of several beers has to say which beer it is, and none is named twice', async () => {
    const { batches, empty } = await cellar()
    const one = batches[0]
    const two = batches.find(({ beerId }) => beerId !== one?.beerId)
    if (!one || !two) throw new Error('the demo has batches of two beers')
    const parts = [one, two, one].map(({ id }) => ({ batch: refOf('Batch', id), litres: 10 }))
    await expect(record({ blended: { vessel: refOf('Vessel', empty.id), batches: parts } })).rejects.toSatisfy(
      (error: InvalidInput) =>
        ['beer MISSING_VALUE', 'batches[2].batch DUPLICATE_ENTRY'].every((each) =>
          codesOf(error).includes(`facts[0].blended.${each}`),
        ),
    )
  })
})

test('a blend of brews of a known strength is as strong as its parts by volume, and other beer as it should be', async () => {
  const standing = await client.batch.findMany({
    where: { distributorId, emptiedOn: null, vesselKind: 'FERMENTER' },
    include: { vessel: true },
  })
  const [first, second] = standing.flatMap((batch) => {
    const other = standing.find(({ id, siteId }) => siteId === batch.siteId && id !== batch.id)
    return other ? [batch, other] : []
  })
  if (!first || !second) throw new Error('a site of the demo has two batches in fermenters')
  for (const { id } of [first, second]) await record({ dumped: { batch: refOf('Batch', id) } })
  const [one, two, beerId] = [first.vessel, second.vessel, first.beerId]
  const brew = async (vessel: typeof one, abv: number) => {
    const litres = vessel.minFillLitres
    const fact = { beer: refOf('Beer', beerId), vessel: refOf('Vessel', vessel.id), litres, abv }
    return batchOf((await dataOf(await record({ brewed: fact }))).batchId)
  }
  const [strong, weak] = [await brew(one, 5.5), await brew(two, 4)]
  const batches = [{ batch: refOf('Batch', strong.id) }, { batch: refOf('Batch', weak.id), litres: 50 }]
  const { newBatchId } = await dataOf(await record({ blended: { vessel: refOf('Vessel', one.id), batches } }))
  const strengthOf = await readStrengths(client, distributorId, [newBatchId])
  const abv = (5.5 * strong.litres + 4 * 50) / (strong.litres + 50)
  expect(strengthOf(newBatchId, 9)).toEqual({ abv: expect.closeTo(abv, 9), isExpected: false })
  expect([strengthOf(null, 9), strengthOf(null, null)]).toEqual([{ abv: 9, isExpected: true }, undefined])
})
