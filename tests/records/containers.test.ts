// Containers in a problem: what the ledger says of them, read back from the database.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { readFleetContainers } from '../../src/records/expected-containers.ts'
import { recordFacts } from '../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openPlannedDemo } from '../support/planned-demo.ts'

const { client, clock, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const TODAY = '2027-03-01'
const record = (...facts: object[]) => recordFacts(actor, { facts }, 'the cellar')
const idOf = (kind: Parameters<typeof encodeGlobalId>[0], id: string) => ({ id: encodeGlobalId(kind, id) })

/** A line that stock serves on a day of the plan, with the lot. */
async function servedFromStock() {
  const { problem, plan } = await stored()
  for (const { orderLineId, routeId, from } of plan.deliveries) {
    const line = problem.orderLines.find(({ id }) => id === orderLineId)
    const lot = problem.stock.find(({ id, readyOn }) => id === from[0]?.stockLotId && readyOn <= TODAY)
    const account = problem.accounts.find(({ id }) => id === line?.accountId)
    if (line && lot && account?.returnDays !== undefined && from.length === 1) return { line, lot, account, routeId }
  }
  throw new Error('something is served from stock')
}

test('a container that is dispatched, delivered, returned and washed is expected and clean when it should be', async () => {
  const { line, lot, account, routeId } = await servedFromStock()
  const { problem: before } = await stored()
  const pack = before.beers.flatMap(({ packs }) => packs).find(({ id }) => id === lot.packId)
  const fleetOf = async () => {
    const { problem } = await stored()
    const fleet = problem.fleets.find(
      (each) => each.siteId === lot.siteId && each.containerTypeId === pack?.containerTypeId,
    )
    if (!fleet) throw new Error('the pack has a fleet')
    return fleet
  }
  const was = await fleetOf()
  const extra = async () => {
    const known = new Map(was.returns.map(({ on, quantity }) => [on, quantity]))
    const { returns } = await fleetOf()
    return returns
      .map(({ on, quantity }) => ({ on, quantity: quantity - (known.get(on) ?? 0) }))
      .filter(({ quantity }) => quantity !== 0)
  }
  const orderLine = idOf('OrderLine', line.id)
  const { quantity } = line
  const lots = [{ lot: idOf('StockLot', lot.id), quantity }]
  await record({ dispatched: { orderLine, lots, route: idOf('Route', routeId) } })
  expect(await extra()).toMatchObject([{ quantity }])

  await record({ delivered: { orderLine, on: TODAY } })
  const settleDays = account.settleDays ?? pack?.settleDays ?? 0
  const expectedOn = addDays(TODAY, settleDays + (account.returnDays ?? 0))
  expect(await extra()).toEqual([{ on: expectedOn, quantity }])
  const accounts = await client.account.findMany({ where: { distributorId } })
  const fleets = await readFleetContainers(client, distributorId, before, TODAY, { accounts })
  expect(fleets.fleets.flatMap(({ out }) => out.filter(({ accountId }) => accountId === account.id))).toEqual([
    { accountId: account.id, since: TODAY, expectedOn, outlook: 'DUE', onRoad: false, quantity },
  ])

  const fleet = { site: idOf('Site', lot.siteId), containerType: idOf('ContainerType', pack?.containerTypeId ?? '') }
  clock.set('2027-03-03T09:00:00Z')
  await record({ returned: { ...fleet, account: idOf('Account', account.id), quantity } })
  expect(was.washDays).toBeGreaterThan(0)
  expect(await extra()).toContainEqual({ on: '2027-03-03', quantity })
  const { cleanNow } = await fleetOf()
  await record({ washed: { ...fleet, quantity } })
  expect((await fleetOf()).cleanNow).toBe(cleanNow + quantity)
  expect(await extra()).not.toContainEqual({ on: '2027-03-03', quantity })
}, 120_000)
