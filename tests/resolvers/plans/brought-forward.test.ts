// A draft that was begun on an earlier day, or with no frozen days, may serve a promised line within the frozen days on an
// earlier day than the plan in force says: it does not come into force.
import { expect, test } from 'vitest'
import { dateOf, dayOf } from '../../../src/database/calendar-day.ts'
import { addDays, firstServes } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { broughtForward } from '../../../src/resolvers/plans/broken-promises.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { changeDistributor } from '../../../src/resolvers/setup/distributor.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const FROZEN = 9
const { client, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const { problem, plan } = await stored()
const served = firstServes(plan.deliveries)
const [line] = problem.orderLines.filter(({ id, promisedOn }) => {
  const day = served.get(id)
  return (
    promisedOn !== undefined && day !== undefined && day > problem.today && day < addDays(problem.today, FROZEN - 2)
  )
})
if (!line) throw new Error('a promised line is served within the frozen days')
const day = served.get(line.id) ?? ''

test('such a draft is refused with the line and both days', async () => {
  const { id } = await draftPlan(actor, { effort: { steps: 0 }, frozenDays: 0 })
  await actor.jobs.settled()
  const draft = await client.delivery.findFirstOrThrow({ where: { distributorId, planId: id, orderLineId: line.id } })
  expect(dayOf(draft.serveOn)).toBe(day)
  // The plan in force serves it a day later than the draft does, by a promise that allows that.
  const where = { distributorId, orderLineId: line.id, plan: { status: 'IN_FORCE' as const } }
  await client.orderLine.updateMany({
    where: { distributorId, id: line.id },
    data: { promisedOn: dateOf(addDays(day, 2)), latestServeOn: dateOf(addDays(day, 2)) },
  })
  await client.delivery.updateMany({ where, data: { serveOn: dateOf(addDays(day, 1)) } })
  await changeDistributor(actor, { frozenDays: FROZEN })
  await expect(adoptPlan(actor, { id: encodeGlobalId('Plan', id) })).rejects.toMatchObject({
    code: 'REVISION_MOVED',
    message: expect.stringMatching(`forward from ${addDays(day, 1)} to ${day}, within the frozen days`),
    obstacles: expect.arrayContaining([
      expect.objectContaining({ kind: 'PROMISE_BROUGHT_FORWARD', orderLineId: line.id, expectedOn: day }),
    ]),
  })
})

test('beyond the frozen days, up to the promised day, and where one of the plans in force says so, it may come forward', () => {
  const promised = (promisedOn: string) => ({
    ...problem,
    frozenDays: FROZEN,
    orderLines: problem.orderLines.map((each) => ({
      ...each,
      promisedOn: each.id === line.id ? promisedOn : undefined,
    })),
  })
  const later = (days: number) => ({
    ...plan,
    deliveries: plan.deliveries.map((each) =>
      each.orderLineId === line.id ? { ...each, serveOn: addDays(each.serveOn, days) } : each,
    ),
  })
  const kinds = (...args: Parameters<typeof broughtForward>) => broughtForward(...args).map(({ kind }) => kind)
  expect(kinds(promised(addDays(day, 3)), [later(2)], plan)).toEqual(['PROMISE_BROUGHT_FORWARD'])
  expect(kinds(promised(day), [later(2)], plan)).toEqual([])
  expect(kinds(promised(addDays(day, 3)), [later(2), plan], plan)).toEqual([])
  expect(kinds({ ...promised(addDays(day, 3)), frozenDays: 0 }, [later(2)], plan)).toEqual([])
})
