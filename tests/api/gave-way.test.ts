// Which wishes give way is shown with a promise, a dry run, an order and a reservation.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { data, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const serveOn = addDays(today, 24)
const GAVE_WAY = 'gaveWay { line { id promisedOn expectedOn } servedBefore served expectedBefore expectedOn }'
const PROMISE = `query ($input: PromiseInput!) { promise(input: $input) { allOnTime ${GAVE_WAY} } }`
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ... on OrderPayload { ${GAVE_WAY} } } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) {
  ... on ReservationPayload { ${GAVE_WAY} } ... on Refusal { code } } }`

interface Answer {
  allOnTime: boolean
  gaveWay: { line: { id: string; promisedOn: string | null }; expectedOn: string | null }[]
}

/** A question that is answered on time because wishes give way. */
async function question() {
  for (const { externalRef } of Object.values(scenario.names.packs ?? {}))
    for (const quantity of [10, 20, 40, 60, 80, 110, 150]) {
      const input = { account, serveOn, lines: [{ pack: { externalRef }, quantity }] }
      const { promise } = (await data(PROMISE, { input }, 'sales')) as { promise: Answer }
      if (promise.allOnTime && promise.gaveWay.length > 0) return { input, promise }
    }
  throw new Error('no wish of the demo is in the way of anything')
}

test('a promise names the wishes that would give way; a dry run and a reservation move the same ones', async () => {
  const { input, promise } = await question()
  for (const { line } of promise.gaveWay) expect(line.promisedOn).toBeNull()
  const lines = promise.gaveWay.map(({ line }) => line.id)
  const dry = await data(PLACE, { input: { ...input, accept: 'ON_TIME_ONLY', dryRun: true } }, 'sales')
  expect(dry).toEqual({ placeOrder: { gaveWay: promise.gaveWay } })
  const { reserveBeer } = (await data(RESERVE, { input }, 'sales')) as { reserveBeer: Answer }
  expect(reserveBeer.gaveWay.map(({ line }) => line.id)).toEqual(lines)
  // Now the lines themselves show the day that was answered.
  for (const { line, expectedOn } of reserveBeer.gaveWay) expect(line).toMatchObject({ expectedOn })
  expect(faults).toEqual([])
})
