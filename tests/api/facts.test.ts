// Facts through the API: what the people of the floor say, what they are answered, and what is wrong with what they say.
import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { ask, data, client, clock, scenario, revision, faults } = await openTestApi({ planned: true })
const { today } = scenario.problem
const distributorId = DEMO_ID

const ANSWER = `__typename
  ... on FactsPayload { revision
    facts { id kind on saidBy assumed quantity litres gravity reference counts warnings { code message }
      batches { code } lots { code quantity } orderLine { lineNumber } account { name } carriesOut { kind decision } }
    moved { added { kind } moved { kind } dropped { kind } lines { orderLine { id } } }
    atRisk { isNew promisedOn expectedOn containers account { name } reasons { message } } }
  ... on InvalidInput { issues { path code message action } }
  ... on Conflict { code message action }
  ... on Forbidden { scope }`
const RECORD = `mutation ($input: RecordFactsInput!) { answer: recordFacts(input: $input) { ${ANSWER} } }`

const answerShape = z.object({
  answer: z.looseObject({
    __typename: z.string(),
    facts: z.array(z.looseObject({ id: z.string() })).default([]),
    issues: z.array(z.looseObject({ path: z.string(), code: z.string() })).default([]),
    atRisk: z.array(z.looseObject({ isNew: z.boolean() })).default([]),
  }),
})
const record = async (...facts: object[]) => answerShape.parse(await data(RECORD, { input: { facts } }, 'floor')).answer
const single = async (mutation: string, input: object) =>
  answerShape.parse(
    await data(
      `mutation ($input: ${typeOf(mutation)}!) { answer: ${mutation}(input: $input) { ${ANSWER} } }`,
      { input },
      'floor',
    ),
  ).answer

const typeOf = (mutation: string) => `${mutation.charAt(0).toUpperCase()}${mutation.slice(1)}Input`

const planOf = async () => {
  const { problem } = await client.$transaction((tx) => loadProblem(tx, DEMO_ID, { today, at: clock.now() }))
  if (!problem.baseline) throw new Error('no plan is in force')
  return problem.baseline
}
const batch = async () => client.batch.findFirstOrThrow({ where: { distributorId, emptiedOn: null } })
const idOf = (kind: string, { id }: { id: string }) => ({ id: encodeGlobalId(kind, id) })

describe('facts that are said well', () => {
  test('a reading answers the fact, who says it, and a plan that did not have to move', async () => {
    const { id, code } = await batch()
    const answer = await single('recordReading', { batch: idOf('Batch', { id }), gravity: 1.01 })
    expect(answer).toMatchObject({
      __typename: 'FactsPayload',
      revision: await revision(),
      facts: [{ kind: 'READING', on: today, saidBy: 'Demo: floor', gravity: 1.01, counts: true, batches: [{ code }] }],
      moved: { added: [], moved: [], dropped: [], lines: [] },
    })
  })

  test('a fill names its planned run by the id that the plan shows, and answers its lot', async () => {
    const { fillRuns } = await planOf()
    const row = await client.fillRun.findFirstOrThrow({
      where: { distributorId, plan: { status: 'IN_FORCE' }, on: new Date(today), batchId: { not: null } },
    })
    const run = fillRuns.find(({ id }) => id === row.id)
    const fillRun = encodeGlobalId('FillRun', `${row.planId}/${row.id}`)
    const { __typename, facts } = await record({ filled: { fillRun, quantity: row.quantity, reference: 'fill-1' } })
    expect(__typename).toBe('FactsPayload')
    expect(facts).toMatchObject([
      {
        kind: 'FILLED',
        quantity: run?.quantity,
        lots: [{ quantity: run?.quantity }],
        carriesOut: { kind: 'FILL_RUN', decision: row.id },
      },
    ])
    const again = await record({ filled: { fillRun, quantity: row.quantity, reference: 'fill-1' } })
    expect(again.facts.map(({ id }) => id)).toEqual(facts.map(({ id }) => id))
    const other = await record({ filled: { fillRun, quantity: row.quantity + 1, reference: 'fill-1' } })
    expect(other).toMatchObject({ __typename: 'Conflict', code: 'REFERENCE_USED' })
  })

  test('a lot that is kept back puts promises at risk, each with the account that must hear of it and why', async () => {
    const { deliveries } = await planOf()
    const promised = new Set(
      (await client.orderLine.findMany({ where: { distributorId, promisedOn: { not: null } } })).map(({ id }) => id),
    )
    const lotId = deliveries.find(({ orderLineId }) => promised.has(orderLineId))?.from.find((each) => each.stockLotId)
    const lots = await client.stockLot.findMany({ where: { distributorId, quantity: { gt: 0 } } })
    expect(lotId).toBeDefined()
    const answer = await record(
      ...lots.map((lot) => ({ lotQuarantined: { lot: idOf('StockLot', lot), why: 'a smell' } })),
      ...(await client.batch.findMany({ where: { distributorId, emptiedOn: null } })).map((each) => ({
        batchQuarantined: { batch: idOf('Batch', each) },
      })),
    )
    const fresh = answer.atRisk.filter(({ isNew }) => isNew)
    expect(fresh.length).toBeGreaterThan(0)
    for (const risk of fresh)
      expect(risk).toMatchObject({ account: { name: expect.any(String) }, reasons: expect.arrayContaining([]) })
    expect(fresh.some(({ reasons }) => z.array(z.unknown()).parse(reasons).length > 0)).toBe(true)
  })

  test('the same content under another reference is taken with a warning', async () => {
    const input = { batch: idOf('Batch', await batch()), celsius: 12.5 }
    const first = await single('recordReading', { ...input, reference: 'r-1' })
    expect(first.facts).toMatchObject([{ warnings: [] }])
    const second = await single('recordReading', { ...input, reference: 'r-2' })
    expect(second.facts).toMatchObject([{ warnings: [{ code: 'SAID_BEFORE' }] }])
  })
})

describe('facts that are said badly', () => {
  test('everything that is wrong is answered at once, each with its path, and nothing is written', async () => {
    const before = await revision()
    const tomorrow = addDays(today, 1)
    const good = idOf('Batch', await batch())
    const { issues, __typename } = await record(
      { reading: { batch: good, gravity: 1.01 } },
      { reading: { batch: good, gravity: 7, celsius: 400 } },
      { reading: { batch: { externalRef: 'NONE' }, gravity: 1.01 } },
      { reading: { batch: good, gravity: 1.01, on: tomorrow } },
      { reading: { batch: good } },
      { reading: { batch: good, gravity: 1.01, at: '2999-01-01T00:00:00Z' } },
      { reading: { batch: good, gravity: 1.01, on: addDays(today, -400) } },
      { filled: { fillRun: 'none', quantity: 3 } },
      { filled: { quantity: 0 } },
      { dispatched: { orderLine: { externalRef: 'NONE' } } },
    )
    expect(__typename).toBe('InvalidInput')
    const found = issues.map(({ path, code }) => `${path} ${code}`)
    expect(found).toEqual(
      expect.arrayContaining([
        'facts[1].reading.gravity OUT_OF_RANGE',
        'facts[1].reading.celsius OUT_OF_RANGE',
        'facts[2].reading.batch UNKNOWN_REFERENCE',
        'facts[3].reading.on FACT_IN_FUTURE',
        'facts[4].reading.gravity MISSING_VALUE',
        'facts[5].reading.at FACT_IN_FUTURE',
        'facts[6].reading.on BEFORE_OPENING',
        'facts[7].filled.fillRun NOT_PLANNED',
        'facts[8].filled.batch MISSING_VALUE',
        'facts[8].filled.pack MISSING_VALUE',
        'facts[8].filled.quantity MISSING_VALUE',
        'facts[9].dispatched.orderLine UNKNOWN_REFERENCE',
      ]),
    )
    expect(found.some((each) => each.startsWith('facts[0]'))).toBe(false)
    expect(await revision()).toBe(before)
    expect(faults).toEqual([])
  })

  test('of a fact by itself the paths are those of its own input', async () => {
    const batchRef = { externalRef: 'NONE' }
    const { issues } = await single('recordReading', { batch: batchRef, gravity: 5 })
    expect(issues.map(({ path, code }) => `${path} ${code}`).sort()).toEqual([
      'batch UNKNOWN_REFERENCE',
      'gravity OUT_OF_RANGE',
    ])
  })

  test('a key without the scope is refused, and a fact that says two things is none', async () => {
    const facts = [{ reading: { batch: idOf('Batch', await batch()), gravity: 1.01 } }]
    expect(await data(RECORD, { input: { facts } }, 'sales')).toMatchObject({
      answer: { __typename: 'Forbidden', scope: 'floor:write' },
    })
    const [{ reading } = { reading: {} }] = facts
    const { errors } = await ask(RECORD, { input: { facts: [{ reading, ready: reading }] } }, 'floor')
    expect(errors?.length).toBeGreaterThan(0)
  })
})
