// A promise that is kept on an earlier day than before: those who are to have the beer must hear of it.
import { expect, test } from 'vitest'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import { deliveredByLine } from '../../../src/planner/documents/delivered-by-line.ts'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { noteRisks } from '../../../src/resolvers/orders/note-risks.ts'
import { type PromiseNews, watchPromises } from '../../../src/resolvers/orders/watch-promises.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const { problem: asStored, plan } = await stored()
const served = deliveredByLine(plan.deliveries)
const line = asStored.orderLines.find(({ id, quantity }) => served.get(id)?.quantity === quantity)
if (!line) throw new Error('the plan serves something')
const day = served.get(line.id)?.last ?? ''
const promisedOn = addDays(day, 5)
const problem = {
  ...asStored,
  orderLines: asStored.orderLines.map((each) => ({
    ...each,
    promisedOn: each.id === line.id ? promisedOn : undefined,
  })),
}

/** The plan with the line served so many days later than it is. */
const later = (days: number): Plan => ({
  ...plan,
  brokenPromises: [],
  deliveries: plan.deliveries.map((each) =>
    each.orderLineId === line.id ? { ...each, serveOn: addDays(each.serveOn, days) } : each,
  ),
})

/** Has the plan in force moved from one to the other, by something that is about no line or about some. */
async function move(before: Plan, after: Plan, asked?: ReadonlySet<string>): Promise<void> {
  await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const cause = { kind: 'PLAN_ADOPTED', type: 'Plan', id: 'some plan' }
    await noteRisks(tx, log, { distributorId, problem, before: [before, before], after, asked }, cause)
  })
}

const said = async () =>
  (
    await client.changeLogEntry.findMany({
      where: { distributorId, entityId: line.id },
      orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    })
  ).map(({ kind, after }) => ({ kind, after }))

test('a later day within the promise is no news, unless an earlier one was heard', async () => {
  await move(later(0), later(2))
  expect(await said()).toEqual([])
})

test('an earlier day is logged with both days, and subscribers hear of it', async () => {
  const news = await watchPromises(actor)
  const heard: Promise<IteratorResult<PromiseNews>> = news.next()
  await move(later(2), later(1))
  const days = { promisedOn, expectedOn: addDays(day, 1), expectedBefore: addDays(day, 2) }
  expect((await said()).at(-1)).toMatchObject({ kind: 'PROMISE_DAY_MOVED', after: days })
  const expected = { kind: 'DAY_MOVED', atRisk: false, lineId: line.id, cause: { kind: 'PLAN_ADOPTED' }, ...days }
  expect((await heard).value).toMatchObject(expected)
  await news.return?.()
})

test('where the earlier day is given up again, that is heard too', async () => {
  await move(later(1), later(3))
  expect((await said()).at(-1)).toMatchObject({
    kind: 'PROMISE_DAY_MOVED',
    after: { expectedOn: addDays(day, 3), expectedBefore: addDays(day, 1) },
  })
})

test('a day that moves because the order itself was amended, and one that stays, are no news', async () => {
  const before = await said()
  await move(later(3), later(0), new Set([line.id]))
  await move(later(3), later(3))
  expect(await said()).toEqual(before)
})
