// The repair of the plan in force after facts: what it leaves alone, and that it is the same whether the records were in memory.
import { expect, test } from 'vitest'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored, expectValid } = await openPlannedDemo()
const record = (...facts: object[]) => recordFacts(actor, { facts }, 'the cellar')

/** What a plan decides but for some runs and for what deliveries take from. */
function decided({ brews, transfers, fillRuns, deliveries, dumped }: Plan, gone: ReadonlySet<string>) {
  const journeys = deliveries.map(({ from, ...journey }) =>
    JSON.stringify({ ...journey, quantity: from.reduce((sum, { quantity }) => sum + quantity, 0) }),
  )
  return { brews, transfers, dumped, fillRuns: fillRuns.filter(({ id }) => !gone.has(id)), journeys: journeys.sort() }
}

test('whatever is filled as planned moves nothing else, to the millilitre', async () => {
  const { plan, problem } = await stored()
  const batches = new Set(problem.batches.map(({ id }) => id))
  const runs = plan.fillRuns.filter(({ on, batchId }) => on === problem.today && batches.has(batchId))
  expect(runs.length).toBeGreaterThan(0)
  for (const { id, quantity } of runs) {
    const { repaired } = await record({ filled: { fillRun: id, quantity } })
    expect(repaired?.after.unserved).toEqual(repaired?.carried.unserved)
  }
  const after = await expectValid()
  const gone = new Set(runs.map(({ id }) => id))
  // What is left in a vessel that a fill empties is lost there and then.
  const emptied = new Set((await client.batch.findMany({ where: { emptiedOn: { not: null } } })).map(({ id }) => id))
  const dumped = plan.dumped.filter(({ batchId }) => !emptied.has(batchId))
  expect(decided(after.plan, gone)).toEqual(decided({ ...plan, dumped }, gone))
})

test('a fact that changes nothing for plans leaves the plan as it is, object for object', async () => {
  const { problem } = await stored()
  const [batch] = problem.batches
  const reading = { batch: { id: encodeGlobalId('Batch', batch?.id ?? '') }, celsius: 11 }
  await record({ reading })
  const { repaired } = await record({ reading: { ...reading, celsius: 12 } })
  expect(repaired?.after).toBe(repaired?.before)
})

/** What is kept in memory at a revision is what the rows give. */
async function expectKeptAsRead(revision: number) {
  const after = await expectValid()
  expect(after.revision).toBe(revision)
  const kept = actor.snapshots.inMemoryLocked(actor.distributorId, after, after.problem.today)
  const { baseline, ...known } = kept?.problem ?? {}
  const { baseline: stands, ...read } = after.problem
  expect(known).toEqual(read)
  expect(new Set(baseline?.deliveries)).toEqual(new Set(stands?.deliveries))
  expect(new Set(baseline?.fillRuns)).toEqual(new Set(stands?.fillRuns))
}

test('the records in memory after a repair are those that the rows give', async () => {
  const { problem } = await stored()
  const [lot] = problem.stock.filter(({ quantity }) => quantity > 1)
  const counted = { lot: { id: encodeGlobalId('StockLot', lot?.id ?? '') }, quantity: 1 }
  const { revision } = await record({ lotCounted: counted })
  await expectKeptAsRead(revision)
})

test('they still are when facts move containers, empty vessels and use up days, one revision after the other', async () => {
  const { problem, plan } = await stored()
  const delivery = plan.deliveries.find(({ from }) => from.every(({ stockLotId }) => stockLotId))
  const lot = problem.stock.find((each) => each.id === delivery?.from[0]?.stockLotId)
  const pack = problem.beers.flatMap(({ packs }) => packs).find((each) => each.id === lot?.packId)
  const line = problem.orderLines.find((each) => each.id === delivery?.orderLineId)
  const orderLine = { id: encodeGlobalId('OrderLine', line?.id ?? '') }
  const fleet = {
    site: { id: encodeGlobalId('Site', lot?.siteId ?? '') },
    containerType: { id: encodeGlobalId('ContainerType', pack?.containerTypeId ?? '') },
  }
  const account = { id: encodeGlobalId('Account', line?.accountId ?? '') }
  const [batch] = problem.batches
  const [free] = problem.vessels.filter(({ id }) => !problem.batches.some(({ vesselId }) => vesselId === id))
  const facts = [
    { dispatched: { orderLine } },
    { vesselOut: { vessel: { id: encodeGlobalId('Vessel', free?.id ?? '') } } },
    { delivered: { orderLine } },
    { returned: { ...fleet, account, quantity: 1 } },
    { fleetCounted: { ...fleet, quantity: 40 } },
    { washed: { ...fleet, quantity: 1 } },
    { dumped: { batch: { id: encodeGlobalId('Batch', batch?.id ?? '') } } },
    { fillingEnded: { site: fleet.site } },
  ]
  for (const fact of facts) await expectKeptAsRead((await record(fact)).revision)
})
