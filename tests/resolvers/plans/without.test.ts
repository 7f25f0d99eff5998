// Drafts that are made without something, and scenarios that try something out: what is named wrongly is refused, what is
// left out is not used, and what comes of it can be adopted.
import { afterEach, expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { loadPlan } from '../../../src/records/load-plan.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { compare, MOST_SCENARIOS } from '../../../src/resolvers/plans/compare.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { readScenarios } from '../../../src/resolvers/plans/scenarios.ts'
import { MOST_UNFINISHED } from '../../../src/resolvers/plans/unfinished.ts'
import { readWithout } from '../../../src/resolvers/plans/without.ts'
import { changeDistributor } from '../../../src/resolvers/setup/distributor.ts'
import { testJobs } from '../../support/jobs.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { WHOLE } from '../../support/sampled.ts'

const { client, actor, scenario, stored, faults } = await openPlannedDemo()
const { distributorId } = actor
const { today, vessels, fillers, sites, fleets, routes } = scenario.problem
const ref = (kind: string, id = '') => ({ id: encodeGlobalId(kind, id) })
const row = (id: string) => client.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const comparison = (id: string) =>
  client.comparison.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })

afterEach(() => actor.jobs.settled())

test('a draft uses nothing that it is made without, says so, and can be adopted', async () => {
  const before = scenario.problem.baseline
  const brew = before?.brews.find(({ brewOn }) => brewOn > addDays(today, 7))
  const run = before?.fillRuns.find(({ on }) => on > addDays(today, 7))
  if (!brew || !run) throw new Error('the plan brews and fills')
  const day = addDays(run.on, 1)
  const without = [
    { vessel: ref('Vessel', brew.vesselId) },
    { filler: ref('Filler', run.fillerId) },
    { day: { day, site: ref('Site', sites[0]?.id) } },
  ]
  const { id } = await draftPlan(actor, { effort: { steps: 20 }, frozenDays: 0, without })
  await actor.jobs.settled()
  expect(faults).toEqual([])
  const solved = await row(id)
  expect(solved.status).toBe('DRAFT')
  expect(readWithout(solved.without)).toEqual([
    { kind: 'VESSEL', vesselId: brew.vesselId },
    { kind: 'FILLER', fillerId: run.fillerId },
    { kind: 'DAY', day, siteId: sites[0]?.id },
  ])
  const plan = await loadPlan(client, distributorId, id)
  expect(plan.brews.filter(({ vesselId }) => vesselId === brew.vesselId)).toEqual([])
  expect(plan.transfers.filter(({ toVesselId }) => toVesselId === brew.vesselId)).toEqual([])
  expect(plan.fillRuns.filter(({ fillerId }) => fillerId === run.fillerId)).toEqual([])
  const siteOf = new Map(vessels.map((vessel) => [vessel.id, vessel.siteId]))
  expect(plan.brews.filter(({ brewOn, vesselId }) => brewOn === day && siteOf.get(vesselId) === sites[0]?.id)).toEqual(
    [],
  )
  await adoptPlan(actor, { ...ref('Plan', id), acceptBrokenPromises: { all: true } })
  // What it lists as moved is so against the plan that was in force before.
  const { problem, plan: adopted } = await stored()
  const { violations } = checkPlan(problem, { ...adopted, moved: [] })
  expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
})

test("a distributor's own prices are those of every draft, but for what the draft says", async () => {
  await changeDistributor(actor, { costs: { brew: 777, drop: 3 } })
  const { id } = await draftPlan(actor, { effort: { steps: 0 }, costs: { drop: 9 } })
  expect((await row(id)).costs).toMatchObject({ brew: 777, drop: 9, late: 2 })
})

const gone = { externalRef: 'NO SUCH' }
const vessel = ref('Vessel', vessels[0]?.id)
test.each([
  ['an unknown vessel', [{ vessel: gone }], 'without[0].vessel', 'UNKNOWN_REFERENCE'],
  ['a filler named as a vessel', [{ filler: vessel }], 'without[0].filler', 'UNKNOWN_REFERENCE'],
  ['a day that is over', [{ day: { day: '2027-02-01' } }], 'without[0].day.day', 'OUT_OF_RANGE'],
  ['a day that is none', [{ day: { day: '2027-02-30' } }], 'without[0].day.day', 'NO_SUCH_DATE'],
  ['an unknown site', [{ day: { day: today, site: gone } }], 'without[0].day.site', 'UNKNOWN_REFERENCE'],
  ['one thing twice', [{ vessel }, { vessel }], 'without[1]', 'DUPLICATE_ENTRY'],
  ['two things at once', [{ vessel, filler: gone }], 'without[0]', 'WRONG_TYPE'],
  [
    'more than a list may have',
    Array.from({ length: 51 }, (_, later) => ({
      day: { day: addDays(today, later % 30), site: later < 30 ? undefined : ref('Site', sites[0]?.id) },
    })),
    'without',
    'BAD_LENGTH',
  ],
])('a draft without %s is refused and does not begin', async (_, without, path, code) => {
  const before = await client.plan.count()
  await expect(draftPlan(actor, { without })).rejects.toMatchObject({
    issues: [{ path, code, action: expect.any(String) }],
  })
  expect(await client.plan.count()).toBe(before)
})

const filler = ref('Filler', fillers[0]?.id)
const changing = (...changes: object[]) => ({ scenarios: [{ name: 'It', changes }] })
const at = 'scenarios[0].changes[0]'
test.each([
  ['no scenario', { scenarios: [] }, 'scenarios', 'BAD_LENGTH'],
  ['a scenario without a change', changing(), 'scenarios[0].changes', 'BAD_LENGTH'],
  [
    'two changes in one',
    changing({ moreVessels: { like: vessel }, fillerMinutes: { filler, minutes: 1 } }),
    at,
    'WRONG_TYPE',
  ],
  ['an unknown vessel', changing({ moreVessels: { like: gone } }), `${at}.moreVessels.like`, 'UNKNOWN_REFERENCE'],
  [
    'a vessel of nothing',
    changing({ moreVessels: { like: vessel, capacityLitres: 0 } }),
    `${at}.moreVessels.capacityLitres`,
    'OUT_OF_RANGE',
  ],
  [
    'a day of more than its minutes',
    changing({ fillerMinutes: { filler, minutes: 1441 } }),
    `${at}.fillerMinutes.minutes`,
    'OUT_OF_RANGE',
  ],
  [
    'a span that ends first',
    changing({ vesselOut: { vessel, from: '2027-03-09', to: '2027-03-08' } }),
    `${at}.vesselOut`,
    'SPAN_REVERSED',
  ],
  [
    'a change of nothing',
    changing({ route: { route: ref('Route', routes[0]?.id) } }),
    `${at}.route`,
    'NOTHING_TO_CHANGE',
  ],
  [
    'a ninth weekday',
    changing({ route: { route: ref('Route', routes[0]?.id), weekdays: [9] } }),
    `${at}.route.weekdays[0]`,
    'OUT_OF_RANGE',
  ],
  [
    'an endless search',
    { ...changing({ moreVessels: { like: vessel } }), effort: { seconds: 61 } },
    'effort.seconds',
    'OUT_OF_RANGE',
  ],
  [
    'too many scenarios',
    {
      scenarios: Array.from(
        { length: MOST_SCENARIOS + 1 },
        () => changing({ moreVessels: { like: vessel } }).scenarios[0],
      ),
    },
    'scenarios',
    'BAD_LENGTH',
  ],
])('a comparison of %s is refused and does not begin', async (_, input, path, code) => {
  await expect(compare(actor, input)).rejects.toMatchObject({ issues: [{ path, code, action: expect.any(String) }] })
  expect(await client.comparison.count()).toBe(0)
})

test('every kind of change is put into words, and a scenario of more never costs more than one of less', async () => {
  const fleet = await client.fleet.findFirstOrThrow({
    where: { distributorId, siteId: fleets[0]?.siteId, containerTypeId: fleets[0]?.containerTypeId },
  })
  const store = await client.store.findFirstOrThrow({ where: { distributorId } })
  const account = ref('Account', scenario.problem.accounts[0]?.id)
  const pack = { externalRef: 'MAR-KEG50' }
  const { id } = await compare(actor, {
    effort: { steps: 10 },
    scenarios: [
      {
        name: 'More of all',
        changes: [
          { moreVessels: { like: vessel, count: 2 } },
          { anotherFiller: { like: filler } },
          { fillerMinutes: { filler, minutes: 60 } },
          { containers: { fleet: ref('Fleet', fleet.id), quantity: 50 } },
          { storeLitres: { store: ref('Store', store.id), litres: 5000 } },
        ],
      },
      {
        name: 'Less and other',
        changes: [
          { vesselOut: { vessel, from: addDays(today, 2), to: addDays(today, 9) } },
          { route: { route: ref('Route', routes[0]?.id), weekdays: [2, 4] } },
          { account: { account, receivesWeekdays: [2] } },
          { site: { site: ref('Site', sites[0]?.id), brewsPerDay: 1 } },
          { orderLine: { account, pack, quantity: 3, serveOn: addDays(today, 20) } },
          { without: { day: { day: addDays(today, 4) } } },
        ],
      },
    ],
  })
  await actor.jobs.settled()
  expect(faults).toEqual([])
  const compared = await comparison(id)
  expect(compared.status).toBe('READY')
  const [asItIs, more, less] = readScenarios(compared.scenarios)
  expect(more?.changes).toHaveLength(5)
  expect(less?.changes).toHaveLength(6)
  for (const words of [...(more?.changes ?? []), ...(less?.changes ?? [])])
    expect(words).not.toMatch(/undefined|\[object/)
  expect(more?.outcome?.costTotal).toBeLessThanOrEqual((asItIs?.outcome?.costTotal ?? 0) + 0.01)
  for (const each of [asItIs, more, less]) {
    const { service, lowerBound, costTotal } = each?.outcome ?? {}
    expect(lowerBound).toBeLessThanOrEqual(costTotal ?? 0)
    const litres = (service?.litresOnTime ?? 0) + (service?.litresLate ?? 0) + (service?.litresUnserved ?? 0)
    expect(litres).toBeCloseTo(service?.litresWanted ?? 0, 3)
  }
  expect(less?.outcome?.service.lines).toBe((asItIs?.outcome?.service.lines ?? 0) + 1)
})

test.runIf(WHOLE)(
  'the planner takes on no more than it says, and a server that stops gives comparisons back',
  async () => {
    const jobs = testJobs(actor, 1)
    const ids: string[] = []
    for (let number = 0; number < MOST_UNFINISHED; number += 1)
      ids.push(
        (await compare({ ...actor, jobs }, { ...changing({ moreVessels: { like: vessel } }), effort: { seconds: 60 } }))
          .id,
      )
    await expect(draftPlan({ ...actor, jobs }, {})).rejects.toMatchObject({ code: 'TOO_MANY_UNFINISHED' })
    await jobs.stop()
    for (const id of ids) {
      expect(await comparison(id)).toMatchObject({ status: 'SOLVING' })
      expect(await client.job.findFirstOrThrow({ where: { key: id } })).toMatchObject({ attempts: 0 })
    }
    const wanted = { distributorId: actor.distributorId, key: { in: ids } }
    await client.job.deleteMany({ where: wanted })
  },
)
