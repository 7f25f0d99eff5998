// Corrections: a fact is replaced or withdrawn, what was assumed is confirmed, and the records, the ledger and the plan follow.
import { afterEach, describe, expect, test } from 'vitest'
import type { InvalidInput } from '../../../src/errors.ts'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { confirmFacts } from '../../../src/resolvers/floor/confirm-facts.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const record = async (fact: object) => (await recordFacts(actor, { facts: [fact] }, 'the cellar')).ids[0] ?? ''
const correct = (fact: string, how: object) =>
  correctFact(actor, { fact: encodeGlobalId('Fact', fact), ...how }, 'the office')
const factOf = (id: string) => client.fact.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const batchOf = (id: string) => client.batch.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const lotOf = (id: string) => client.stockLot.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const codesOf = (error: InvalidInput) => error.issues.map(({ path, code }) => `${path} ${code}`)

/** The plan in force is valid for the records, and the ledger balances. */
afterEach(async () => {
  const { problem, plan } = await stored()
  expect(
    checkPlan({ ...problem, baseline: plan }, { ...plan, moved: [] }).violations.filter(({ rule }) => rule !== 'COST'),
  ).toEqual([])
  expect(ledgerFaults((await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf))).toEqual([])
})

describe('a fill', () => {
  test('that is replaced keeps its lot, with the new count; the newest correction counts; withdrawn, nothing is left', async () => {
    const { plan, problem } = await stored()
    const run = plan.fillRuns.find(
      ({ on, batchId, quantity }) =>
        on === problem.today && quantity > 3 && problem.batches.some(({ id }) => id === batchId),
    )
    if (!run) throw new Error('something is filled today')
    const before = await batchOf(run.batchId)
    const original = await record({ filled: { fillRun: run.id, quantity: run.quantity, emptied: false } })
    const { lotId } = Object(await factOf(original)) && Object((await factOf(original)).data)
    const { code } = await lotOf(lotId)

    const { ids } = await correct(original, { replace: { filled: { quantity: run.quantity - 1 } } })
    expect(await lotOf(lotId)).toMatchObject({ code, quantity: run.quantity - 1 })
    await expect(correct(ids[0] ?? '', { withdraw: true })).rejects.toSatisfy(
      (error: InvalidInput) => codesOf(error)[0] === 'fact NO_CORRECTION_OF_CORRECTION',
    )
    const newest = await correct(original, { replace: { filled: { quantity: run.quantity - 2 } } })
    expect(await lotOf(lotId)).toMatchObject({ code, quantity: run.quantity - 2 })
    for (const id of [original, ids[0] ?? '']) expect((await factOf(id)).replacedById).toBe(newest.ids[0])

    await correct(original, { withdraw: true })
    expect((await lotOf(lotId)).quantity).toBe(0)
    expect((await batchOf(run.batchId)).litres).toBeCloseTo(before.litres, 3)
  })
})

test('a fill that is corrected once another batch is in the vessel leaves that batch where it is', async () => {
  const { problem } = await stored()
  const pack = await client.pack.findFirstOrThrow({ where: { distributorId, externalRef: 'FOO-FIRKIN' } })
  const batch = problem.batches.find(({ beerId, quarantined }) => beerId === pack.beerId && !quarantined)
  const type = problem.containerTypes.find(({ id }) => id === pack.containerTypeId)
  const clean = problem.fleets.find(({ containerTypeId }) => containerTypeId === type?.id)?.cleanNow ?? 0
  if (!batch || !type || clean < 3) throw new Error('three firkins of Foolscap can be filled')
  // Nothing is left of it: it counts as emptied without anyone saying so.
  const rest = batch.litres - (3 * Math.round(type.nominalLitres * 1000)) / 1000
  await record({ dumped: { batch: refOf('Batch', batch.id), litres: rest } })
  const fill = { batch: refOf('Batch', batch.id), pack: refOf('Pack', pack.id), quantity: 3 }
  const original = await record({ filled: fill })
  expect((await batchOf(batch.id)).emptiedOn).not.toBeNull()
  const next = await record({
    brewed: { beer: refOf('Beer', pack.beerId), vessel: refOf('Vessel', batch.vesselId), litres: 1000 },
  })

  await correct(original, { replace: { filled: { ...fill, quantity: 2 } } })
  expect((await batchOf(batch.id)).emptiedOn).not.toBeNull()
  expect((await batchOf(batch.id)).litres).toBeCloseTo(type.nominalLitres, 2)
  const { batchId } = Object((await factOf(next)).data)
  expect(await batchOf(batchId)).toMatchObject({ vesselId: batch.vesselId, emptiedOn: null })
  // Someone counts it: there is nothing.
  await record({ batchCounted: { batch: refOf('Batch', batch.id), litres: 0 } })
  expect((await batchOf(batch.id)).litres).toBe(0)
})

test('a brew that is withdrawn leaves its vessel free, and one that is replaced keeps its batch', async () => {
  const { plan } = await stored()
  const holders = new Set(
    (await client.batch.findMany({ where: { distributorId, emptiedOn: null } })).map(({ vesselId }) => vesselId),
  )
  const brew = plan.brews.find(({ vesselId }) => !holders.has(vesselId))
  if (!brew) throw new Error('a brew is planned into a free vessel')
  const original = await record({ brewed: { brew: brew.id } })
  const { batchId } = Object((await factOf(original)).data)
  expect(batchId).toBe(brew.id)
  const litres = brew.litres - 10
  await correct(original, { replace: { brewed: { litres, originalGravity: 1.044 } } })
  expect((await batchOf(batchId)).litres).toBeGreaterThan(0)
  expect((await batchOf(batchId)).litres).toBeLessThan(litres)
  expect((await batchOf(batchId)).emptiedOn).toBeNull()
  await correct(original, { withdraw: true })
  expect((await batchOf(batchId)).litres).toBe(0)
  expect((await batchOf(batchId)).emptiedOn).not.toBeNull()
})

test('a vessel that was not out after all has no outage', async () => {
  const vessel = await client.vessel.findFirstOrThrow({ where: { distributorId } })
  const outages = () => client.vesselOutage.findMany({ where: { distributorId, vesselId: vessel.id } })
  const before = await outages()
  const original = await record({ vesselOut: { vessel: refOf('Vessel', vessel.id), why: 'a leak' } })
  expect((await outages()).length).toBe(before.length + 1)
  await correct(original, { withdraw: true })
  expect(await outages()).toEqual(before)
})

test('what is wrong with a correction is said at once, and an opening is none of its business', async () => {
  const { problem } = await stored()
  const [batch] = problem.batches
  if (!batch) throw new Error('there are batches')
  const reading = await record({ reading: { batch: refOf('Batch', batch.id), gravity: 1.012 } })
  await expect(
    correct(reading, { withdraw: true, replace: { reading: { batch: { externalRef: 'NONE' }, gravity: 3 } } }),
  ).rejects.toSatisfy((error: InvalidInput) => {
    expect(codesOf(error).sort()).toEqual([
      'replace.reading.batch UNKNOWN_REFERENCE',
      'replace.reading.gravity OUT_OF_RANGE',
      'withdraw NOT_BOTH',
    ])
    return true
  })
  expect((await factOf(reading)).replacedById).toBeNull()
  const opening = await client.fact.findFirstOrThrow({ where: { distributorId, kind: 'BATCH_OPENING' } })
  await expect(correct(opening.id, { withdraw: true })).rejects.toMatchObject({ code: 'STATUS_FORBIDS' })
  await expect(correct('none', { withdraw: true })).rejects.toMatchObject({ code: 'NO_SUCH_THING' })
})

test('an assumed fact that is confirmed is said as it is, once', async () => {
  const { plan, problem } = await stored()
  const delivery = plan.deliveries.find(({ from }) => from.every(({ stockLotId }) => stockLotId !== undefined))
  if (!delivery) throw new Error('something is delivered from stock')
  // A delivery that comes without its dispatch has that assumed.
  await record({ delivered: { orderLine: refOf('OrderLine', delivery.orderLineId) } })
  const assumed = await client.fact.findFirstOrThrow({ where: { distributorId, assumed: true, kind: 'DISPATCHED' } })
  const balances = () => client.placeBalance.findMany({ where: { distributorId }, orderBy: { place: 'asc' } })
  const before = await balances()
  const confirm = () => confirmFacts(actor, { facts: [encodeGlobalId('Fact', assumed.id)] }, 'the office')
  const { ids } = await confirm()
  expect(await factOf(ids[0] ?? '')).toMatchObject({ assumed: false, saidBy: 'the office', data: assumed.data })
  expect((await factOf(assumed.id)).replacedById).toBe(ids[0])
  expect(await balances()).toEqual(before)
  await expect(confirm()).rejects.toMatchObject({ code: 'STATUS_FORBIDS' })
  await expect(confirmFacts(actor, { on: problem.today }, 'the office')).rejects.toMatchObject({ code: 'NOT_BOTH' })
})

describe('a correction that is said again', () => {
  test('answers the first result, and moves nothing a second time', async () => {
    const { plan, problem } = await stored()
    const run = plan.fillRuns.find(
      ({ on, batchId, quantity }) =>
        on === problem.today && quantity > 3 && problem.batches.some(({ id }) => id === batchId),
    )
    if (!run) throw new Error('something is filled today')
    const original = await record({ filled: { fillRun: run.id, quantity: run.quantity, emptied: false } })
    const replace = { filled: { quantity: run.quantity - 1, reference: 'count-again' } }
    const first = await correct(original, { replace })
    const again = await correct(original, { replace })
    expect(again).toMatchObject({ ids: first.ids, revision: first.revision })
    const other = { filled: { quantity: run.quantity - 2, reference: 'count-again' } }
    await expect(correct(original, { replace: other })).rejects.toMatchObject({ code: 'REFERENCE_USED' })

    const withdrawn = await correct(original, { withdraw: true })
    const withdrawnAgain = await correct(original, { withdraw: true })
    expect(withdrawnAgain).toMatchObject({ ids: withdrawn.ids, revision: withdrawn.revision })
    expect(withdrawnAgain.repaired?.before).toEqual(withdrawnAgain.repaired?.after)
  })
})
