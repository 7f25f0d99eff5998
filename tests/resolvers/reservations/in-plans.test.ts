// Reservations beside drafts: they are kept like promises, come into a draft that was begun before them, and are gone from
// one once their time has run out.
import { afterEach, expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const asked = { account, serveOn: addDays(today, 10), lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }] }

afterEach(() => actor.jobs.settled())

async function draft() {
  const { id } = await draftPlan(actor, { effort: { steps: 5 } })
  await actor.jobs.settled()
  return { id: encodeGlobalId('Plan', id) }
}

async function lineOf({ id }: { id: string }) {
  const { order } = await client.reservation.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { order: { include: { lines: true } } },
  })
  return order.lines[0]
}

test('a draft keeps what is reserved, takes in what is reserved after it, and leaves out what has run out', async () => {
  const first = await reserveBeer(actor, { ...asked, minutes: 60 })
  const begun = await draft()
  const second = await reserveBeer(actor, { ...asked, minutes: 10 })
  await adoptPlan(actor, begun)
  const both = await expectValid()
  for (const reserved of [first, second]) {
    const line = await lineOf(reserved)
    const delivery = both.plan.deliveries.find(({ orderLineId }) => orderLineId === line?.id)
    expect(delivery?.serveOn).toBe(line?.promisedOn?.toISOString().slice(0, 10))
  }
  const next = await draft()
  clock.set(new Date(clock.now().getTime() + 11 * 60_000).toISOString())
  await adoptPlan(actor, next)
  const { plan, problem } = await expectValid()
  const gone = await lineOf(second)
  expect(gone?.status).toBe('LAPSED')
  expect(plan.deliveries.some(({ orderLineId }) => orderLineId === gone?.id)).toBe(false)
  expect(problem.orderLines.some(({ id }) => id === gone?.id)).toBe(false)
  const kept = await lineOf(first)
  expect(plan.deliveries.some(({ orderLineId }) => orderLineId === kept?.id)).toBe(true)
})
