// Retiring what the plan in force counts on leaves a problem that can be planned anew.
import { expect, test } from 'vitest'
import { makePlan, parseProblem } from '../../../src/planner/index.ts'
import { loadProblem } from '../../../src/records/load-problem.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import type { Actor } from '../../../src/resolvers/actor.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { retireAccount } from '../../../src/resolvers/setup/account.ts'
import { retireBeer } from '../../../src/resolvers/setup/beer.ts'
import { retireContainerType } from '../../../src/resolvers/setup/container-type.ts'
import { retireFiller } from '../../../src/resolvers/setup/filler.ts'
import { retireFleet } from '../../../src/resolvers/setup/fleet.ts'
import { retirePack } from '../../../src/resolvers/setup/pack.ts'
import { retireRoute } from '../../../src/resolvers/setup/route.ts'
import { retireSite } from '../../../src/resolvers/setup/site.ts'
import { retireStore } from '../../../src/resolvers/setup/store.ts'
import { retireVessel } from '../../../src/resolvers/setup/vessel.ts'
import { openTestDatabase } from '../../support/database.ts'
import { plannedScenario } from '../../support/planned-demo.ts'

const TODAY = '2027-03-01'
const { client, clock } = await openTestDatabase()
const scenario = plannedScenario(TODAY)
const { baseline } = scenario.problem
const line = scenario.problem.orderLines.find(({ id }) => id === baseline?.deliveries[0]?.orderLineId)

const first = {
  filler: baseline?.fillRuns[0]?.fillerId,
  vessel: baseline?.brews[0]?.vesselId,
  beer: baseline?.brews[0]?.beerId,
  pack: baseline?.fillRuns[0]?.packId,
  route: baseline?.deliveries[0]?.routeId,
  account: line?.accountId,
  site: scenario.problem.sites[0]?.id,
  containerType: scenario.problem.containerTypes[1]?.id,
}

test.each([
  ['filler', retireFiller],
  ['vessel', retireVessel],
  ['beer', retireBeer],
  ['pack', retirePack],
  ['route', retireRoute],
  ['account', retireAccount],
  ['site', retireSite],
  ['containerType', retireContainerType],
  ['fleet', retireFleet],
  ['store', retireStore],
] as const)('retiring a %s that it counts on', async (name, retire) => {
  const actor: Actor = { client, clock, distributorId: `retired ${name}` }
  await client.$transaction((tx) => saveSetup(tx, actor.distributorId, scenario, clock.now()))
  const where = { distributorId: actor.distributorId }
  const ids = {
    ...first,
    fleet: (await client.fleet.findFirstOrThrow({ where })).id,
    store: (await client.store.findFirstOrThrow({ where })).id,
  }
  const kind = name.charAt(0).toUpperCase() + name.slice(1)
  await retire(actor, { [name]: { id: encodeGlobalId(kind, ids[name] ?? '') } })
  const { problem } = await client.$transaction((tx) =>
    loadProblem(tx, actor.distributorId, { today: TODAY, at: clock.now() }),
  )
  const parsed = parseProblem(JSON.parse(JSON.stringify(problem)))
  expect(parsed.ok ? [] : parsed.faults).toEqual([])
  const { plan } = makePlan(problem, { steps: 20 })
  expect(plan.cost.total).toBeGreaterThan(0)
})
