// A recall in one act, through the API: who is rung, what is kept back, what is at risk, and the draft that replaces it.
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { checkPlan } from '../../src/planner/index.ts'
import { factOf } from '../../src/records/fact-rows.ts'
import { groupBy } from '../../src/records/group.ts'
import { entryOf } from '../../src/records/ledger.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { containersOut } from '../support/containers-walk.ts'
import { tracedEntries } from '../support/memory-trace-ledger.ts'
import { expectReplayed } from '../support/replayed.ts'

const { ask, data, client, clock, scenario, jobs, revision, faults } = await openTestApi({ planned: true })
const distributorId = DEMO_ID
const { today } = scenario.problem
const ref = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })

const RECALL = `mutation ($input: DraftRecallInput!) { draftRecall(input: $input) { __typename
  ... on DraftRecallPayload { revision words calledBefore
    accounts { onRoad atAccount words account { id } lots { onRoad atAccount lot { id } orderLine { id } } }
    recall { lots { recalled onRoad atAccounts } accounts { recalled account { id } } }
    keptBackLots { id } keptBackBatches { id } atRisk { isNew orderLine { id } } plan { id status } }
  ... on InvalidInput { issues { path code } } ... on NotFound { code message } ... on Forbidden { scope } } }`
const answerShape = z.object({
  draftRecall: z.object({
    ...{
      __typename: z.literal('DraftRecallPayload'),
      revision: z.int(),
      words: z.array(z.string()),
      calledBefore: z.int(),
    },
    accounts: z.array(
      z.looseObject({
        ...{ onRoad: z.int(), atAccount: z.int(), words: z.string(), account: z.object({ id: z.string() }) },
        lots: z.array(z.looseObject({ onRoad: z.int(), atAccount: z.int(), orderLine: z.object({ id: z.string() }) })),
      }),
    ),
    recall: z.looseObject({ lots: z.array(z.looseObject({ recalled: z.int() })) }),
    keptBackLots: z.array(z.object({ id: z.string() })),
    keptBackBatches: z.array(z.object({ id: z.string() })),
    atRisk: z.array(z.object({ isNew: z.boolean(), orderLine: z.object({ id: z.string() }) })),
    plan: z.object({ id: z.string(), status: z.string() }).nullable(),
  }),
})
const recall = async (of: object, more: object = {}) => {
  const input = { of, again: true, why: 'It smells of vinegar.', effort: { steps: 600 }, ...more }
  return answerShape.parse(await data(RECALL, { input }, 'planner')).draftRecall
}

const record = async (...facts: object[]) =>
  expect(
    await data(
      'mutation ($facts: [FactInput!]!) { recordFacts(input: { facts: $facts }) { __typename ... on InvalidInput { issues { path code message } } } }',
      { facts },
      'floor',
    ),
  ).toEqual({ recordFacts: { __typename: 'FactsPayload' } })

/** The plan in force keeps all rules for the records, and the ledger its balance. */
async function expectValid() {
  const { problem } = await client.$transaction((tx) => loadProblem(tx, distributorId, { today, at: clock.now() }))
  const { baseline } = problem
  if (!baseline) throw new Error('a plan is in force')
  expect(checkPlan(problem, baseline).violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  await expectReplayed(client, distributorId)
  return { problem, plan: baseline }
}

/** Lots of the store that serve lines of two accounts at least. */
async function servingLots() {
  const sources = await client.deliverySource.findMany({
    where: { distributorId, stockLotId: { not: null }, delivery: { plan: { status: 'IN_FORCE' } } },
    include: { stockLot: true, delivery: { include: { orderLine: { include: { order: true } } } } },
    orderBy: [{ stockLotId: 'asc' }, { deliveryN: 'asc' }],
  })
  const ofLot = groupBy(sources, ({ stockLotId }) => stockLotId ?? '')
  const ids = [...new Set(sources.map(({ stockLotId }) => stockLotId ?? ''))]
  return ids
    .map((id) => [id, ofLot(id)] as const)
    .filter(([, own]) => new Set(own.map((each) => each.delivery.orderLine.order.accountId)).size > 1)
}

const lots = await servingLots()
const now = clock.now()
const inTwoWeeks = new Date(now.getTime() + 14 * 86_400_000)
/** Some of its lines are promised for days by which there can be other beer. */
const [lotId = '', sources = []] =
  lots.find(([, own]) => own.slice(0, -1).some((each) => (each.delivery.orderLine.promisedOn ?? now) > inTwoWeeks)) ??
  []
const lot = ref('StockLot', lotId)
const lineIds = sources.map(({ delivery }) => delivery.orderLine.id)
const batch = await client.batch.findFirstOrThrow({
  where: { distributorId, emptiedOn: null, beer: { packs: { some: { id: sources[0]?.stockLot?.packId ?? '' } } } },
})
const lineOf = (id: string) =>
  client.orderLine.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })

/** All but the last of the lines have left, and the first has arrived. */
beforeAll(async () => {
  const change = 'mutation ($input: ChangeStockLotInput!) { changeStockLot(input: $input) { __typename } }'
  await data(change, { input: { stockLot: lot, batch: ref('Batch', batch.id) } }, 'integrator')
  const sent = sources.slice(0, -1)
  await record(
    ...sent.map(({ quantity, delivery: { orderLine } }) => ({
      dispatched: { orderLine: ref('OrderLine', orderLine.id), lots: [{ lot, quantity }] },
    })),
    { delivered: { orderLine: ref('OrderLine', lineIds[0] ?? '') } },
  )
})

/** By account and line what is out of the lot, container by container. */
async function walked(): Promise<Map<string, number>> {
  const facts = (await client.fact.findMany({ where: { distributorId, withdraws: false } })).map(factOf)
  const entries = (await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf)
  const out = new Map<string, number>()
  for (const { road } of containersOut(tracedEntries(entries, facts))) {
    const [, lineId = '', of] = road.split('|')
    if (of === lotId) out.set(lineId, (out.get(lineId) ?? 0) + 1)
  }
  return out
}

describe('a recall of a lot', () => {
  let first: Awaited<ReturnType<typeof recall>>
  let expected: Map<string, number>
  beforeAll(async () => {
    expected = await walked()
    first = await recall({ lot })
  })

  test('calls back from every account what a walk over the ledger finds there and on the road', async () => {
    expect(expected.size).toBeGreaterThan(0)
    const found = first.accounts.flatMap((account) => account.lots)
    expect(new Map(found.map(({ orderLine, onRoad, atAccount }) => [orderLine.id, onRoad + atAccount]))).toEqual(
      new Map([...expected].map(([lineId, count]) => [ref('OrderLine', lineId).id, count])),
    )
    for (const { onRoad, atAccount, lots: own } of first.accounts)
      expect(own.reduce((sum, each) => sum + each.onRoad + each.atAccount, 0)).toBe(onRoad + atAccount)
    const all = [...expected.values()].reduce((sum, count) => sum + count, 0)
    expect(first.recall.lots).toMatchObject([{ recalled: all }])
    expect(await walked()).toEqual(expected)
  })

  test('keeps the lot back, and what was promised is at risk in the same revision', async () => {
    expect(first).toMatchObject({ revision: await revision(), keptBackLots: [lot], keptBackBatches: [] })
    for (const lineId of lineIds)
      expect(await lineOf(lineId)).toMatchObject({ dispatched: 0, delivered: 0, closedShort: 0, status: 'OPEN' })
    const { problem } = await expectValid()
    expect(problem.orderLines.map(({ id }) => id)).toEqual(expect.arrayContaining(lineIds))
  })

  test('says what to say, to each account and in the office', async () => {
    const { code } = await client.stockLot.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id: lotId } },
    })
    for (const { onRoad, atAccount, words } of first.accounts) {
      expect(words).toContain(`lot ${code}`)
      expect(words.includes('Please serve no more of this')).toBe(atAccount > 0)
      expect(words.includes('please do not take it in')).toBe(onRoad > 0)
      expect(words).toContain('We send you as many again')
    }
    expect(first.words.join(' ')).toMatch(/called back from \d+ accounts?: ring/)
    expect(first.words.at(-1)).toContain('A draft that replaces what was promised is being made')
  })

  test('begins a draft that serves the lines again, on their days where there is beer, and that can be adopted', async () => {
    expect(first.plan?.status).toBe('SOLVING')
    await jobs.settled()
    const adopt = `mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { __typename
      ... on Conflict { message obstacles { message } } } }`
    const input = { id: first.plan?.id, acceptBrokenPromises: { all: true } }
    expect(await data(adopt, { input }, 'planner')).toEqual({ adoptPlan: { __typename: 'PlanPayload' } })
    const { problem, plan } = await expectValid()
    const served = lineIds.filter((lineId) => {
      const line = problem.orderLines.find(({ id }) => id === lineId)
      const own = plan.deliveries.filter(({ orderLineId }) => orderLineId === lineId)
      expect(own.flatMap(({ from }) => from).some(({ stockLotId }) => stockLotId === lotId)).toBe(false)
      const broken = (plan.brokenPromises ?? []).some(({ orderLineId }) => orderLineId === lineId)
      return line && own.length > 0 && !broken
    })
    expect(served.length).toBeGreaterThan(0)
  })

  test('that is asked for again calls back what is new alone, and says so', async () => {
    const before = await revision()
    const again = await recall({ lotCode: (await client.stockLot.findFirstOrThrow({ where: { id: lotId } })).code })
    expect(again).toMatchObject({ accounts: [], keptBackLots: [], plan: null, revision: before })
    expect(again.calledBefore).toBe([...expected.values()].reduce((sum, count) => sum + count, 0))
    expect(again.words).toContain('Nothing is new: no draft is begun.')
    // A cask of it leaves all the same.
    const line = lineIds[0] ?? ''
    await record({
      dispatched: { orderLine: ref('OrderLine', line), lots: [{ lot, quantity: 1 }], route: await routeOf(line) },
    })
    const third = await recall({ lot })
    expect(third.accounts).toMatchObject([{ onRoad: 1, atAccount: 0, lots: [{ orderLine: ref('OrderLine', line) }] }])
    expect(third.plan?.status).toBe('SOLVING')
    await expectValid()
    await jobs.settled()
  })

  test('is undone line by line: a recall that is withdrawn gives the line back what it was sent', async () => {
    const line = lineIds[0] ?? ''
    const rows = await client.fact.findMany({
      where: { distributorId, kind: 'RECALLED', subjects: { some: { subjectId: line } } },
    })
    const correct =
      'mutation ($input: CorrectFactInput!) { correctFact(input: $input) { __typename ... on InvalidInput { issues { path code message } } } }'
    for (const { id } of rows)
      expect(
        await data(correct, { input: { fact: encodeGlobalId('Fact', id), withdraw: true } }, 'floor'),
      ).toMatchObject({ correctFact: { __typename: 'FactsPayload' } })
    const { quantity, dispatched } = await lineOf(line)
    expect(dispatched).toBe(Math.min(quantity, (sources[0]?.quantity ?? 0) + 1))
    await expectValid()
  })
})

/** A route that serves the account of a line. */
async function routeOf(lineId: string) {
  const { order } = await client.orderLine.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: lineId } },
    include: { order: { include: { account: { include: { routes: true } } } } },
  })
  return ref('Route', order.account.routes[0]?.routeId ?? '')
}

test('a recall of a batch keeps the batch back too, with every lot of it, and closes what is not sent again', async () => {
  const answer = await recall({ batch: ref('Batch', batch.id) }, { again: false })
  expect(answer.keptBackBatches).toEqual([ref('Batch', batch.id)])
  const line = await lineOf(lineIds[0] ?? '')
  expect(line).toMatchObject({ dispatched: 0, closedShort: line.quantity, status: 'DELIVERED' })
  expect(answer.accounts[0]?.words).toContain('We do not send it again.')
  await expectValid()
  await jobs.settled()
})

test('a recall of what never left keeps it back, and says that no one is to be rung', async () => {
  const other = await client.stockLot.findFirstOrThrow({
    where: { distributorId, quantity: { gt: 0 }, quarantined: false, id: { not: lotId } },
  })
  const answer = await recall({ lot: ref('StockLot', other.id) })
  expect(answer).toMatchObject({ accounts: [], keptBackLots: [ref('StockLot', other.id)], plan: { status: 'SOLVING' } })
  expect(answer.words[0]).toBe('Nothing of it is on the road or at an account that was not called back before.')
  expect(answer.words[1]).toBe(`${other.quantity} stand at the site and are kept back.`)
  await expectValid()
  await jobs.settled()
})

test('a recall asks for a scope, and says what it does not find', async () => {
  const input = { of: { lot: { externalRef: 'NONE' } }, again: true }
  const { errors, data: found } = await ask(RECALL, { input }, 'planner')
  expect(JSON.stringify(found ?? errors)).toContain('NO_SUCH_THING')
  expect(await data(RECALL, { input }, 'sales')).toEqual({
    draftRecall: { __typename: 'Forbidden', scope: 'plan:write' },
  })
  expect(faults).toEqual([])
})
