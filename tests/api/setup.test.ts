// Every kind of set-up thing: created, read back, changed, retired; with the change log and the revision.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { client, clock, data, revision } = await openTestApi()

interface Kind {
  kind: string
  /** Fields to read back, written as a selection. */
  read: string
  create: Record<string, unknown>
  change: Record<string, unknown>
  /** What reading shows after the creation, and what differs after the change. */
  shown: Record<string, unknown>
  changed: Record<string, unknown>
  retired?: false
}

const ref = (externalRef: string) => ({ externalRef })

const KINDS: Kind[] = [
  {
    kind: 'Site',
    read: 'externalRef name timeZone brewWeekdays fillWeekdays closedOn brewsPerDay transfersPerDay brewLitres brewEnds fillStarts',
    create: {
      externalRef: 'NEW-SITE',
      name: 'New site',
      timeZone: 'America/New_York',
      brewWeekdays: [2, 1],
      fillWeekdays: [1, 2, 3, 4, 5],
      closedOn: ['2027-12-25', '2027-12-24', '2027-12-25'],
      brewsPerDay: 2,
      transfersPerDay: 2,
      brewLitres: 1000,
      brewEnds: '17:30',
      fillStarts: '07:00',
    },
    shown: { brewWeekdays: [1, 2], closedOn: ['2027-12-24', '2027-12-25'], transfersPerDay: 2, brewLitres: 1000 },
    change: { transfersPerDay: null, brewLitres: null, closedOn: ['2028-01-01'], name: 'Renamed' },
    changed: { transfersPerDay: null, brewLitres: null, closedOn: ['2028-01-01'], name: 'Renamed' },
  },
  {
    kind: 'Vessel',
    read: 'externalRef name kind capacityLitres capacity(unit: HECTOLITRE) minFillLitres turnaroundDays availableFrom outOfService { from to } site { externalRef }',
    create: {
      externalRef: 'NEW-FV',
      site: ref('NEW-SITE'),
      name: 'FV 99',
      kind: 'FERMENTER',
      capacityLitres: 2000,
      minFillLitres: 800,
      turnaroundDays: 1,
      availableFrom: '2027-03-05',
      outOfService: [{ from: '2027-04-01', to: '2027-04-03' }],
    },
    shown: { capacity: 20, outOfService: [{ from: '2027-04-01', to: '2027-04-03' }], site: ref('NEW-SITE') },
    change: { capacityLitres: 2500, availableFrom: null, outOfService: [] },
    changed: { capacityLitres: 2500, capacity: 25, availableFrom: null, outOfService: [] },
  },
  {
    kind: 'Beer',
    read: 'externalRef name style fermentHours restHours dryHopHours crashHours maxTankDays brightDays maxBrightDays maxOpenDays lossFraction anyVessel vessels { externalRef } setupWeight washGroup',
    create: {
      externalRef: 'NEW-BEER',
      name: 'New beer',
      style: 'Mild',
      fermentHours: 96.5,
      restHours: 24,
      dryHopHours: 0,
      crashHours: 48,
      maxTankDays: 14,
      brightDays: 1,
      maxBrightDays: 10,
      maxOpenDays: 3,
      washGroup: 'sour',
      lossFraction: 0.06,
      vessels: [ref('NEW-FV')],
    },
    shown: { anyVessel: false, vessels: [ref('NEW-FV')], setupWeight: 1, maxOpenDays: 3, washGroup: 'sour' },
    change: { vessels: null, maxOpenDays: null, setupWeight: 2, washGroup: null },
    changed: { anyVessel: true, vessels: [], maxOpenDays: null, setupWeight: 2, washGroup: null },
  },
  {
    kind: 'ContainerType',
    read: 'externalRef name kind nominalLitres volume(unit: IMPERIAL_GALLON) overfillFraction',
    create: { externalRef: 'NEW-TYPE', name: 'Firkin', kind: 'CASK', nominalLitres: 40.91481 },
    shown: { volume: 9, overfillFraction: 0 },
    change: { overfillFraction: 0.01 },
    changed: { overfillFraction: 0.01 },
  },
  {
    kind: 'Pack',
    read: 'externalRef name drawFrom conditioningDays conditionIn settleDays shelfLifeDays primed primingWindowDays beer { externalRef } containerType { externalRef }',
    create: {
      externalRef: 'NEW-PACK',
      name: 'New beer, firkin',
      beer: ref('NEW-BEER'),
      containerType: ref('NEW-TYPE'),
      drawFrom: 'FERMENTER',
      conditioningDays: 5,
      conditionIn: 'WARM',
      settleDays: 2,
      shelfLifeDays: 42,
      primed: true,
      primingWindowDays: 3,
    },
    shown: { beer: ref('NEW-BEER'), containerType: ref('NEW-TYPE'), primed: true },
    change: { primed: null, primingWindowDays: null, conditionIn: null },
    changed: { primed: false, primingWindowDays: null, conditionIn: 'COLD' },
  },
  {
    kind: 'Filler',
    read: 'externalRef name minutesPerDay minutesOn { on minutes } setupMinutes setupMinutesByBeer { beer { externalRef } minutes } setupLossLitres washMinutes fills { containerType { externalRef } minutesEach } site { externalRef }',
    create: {
      externalRef: 'NEW-FILLER',
      site: ref('NEW-SITE'),
      name: 'Racking line',
      minutesPerDay: 300,
      minutesOn: [{ on: '2027-03-06', minutes: 120 }],
      setupMinutesByBeer: [{ beer: ref('NEW-BEER'), minutes: 20 }],
      fills: [{ containerType: ref('NEW-TYPE'), minutesEach: 4.5 }],
    },
    shown: {
      setupMinutes: null,
      setupLossLitres: 0,
      washMinutes: 0,
      minutesOn: [{ on: '2027-03-06', minutes: 120 }],
      setupMinutesByBeer: [{ beer: ref('NEW-BEER'), minutes: 20 }],
      fills: [{ containerType: ref('NEW-TYPE'), minutesEach: 4.5 }],
    },
    change: { setupMinutesByBeer: [], setupMinutes: 15, setupLossLitres: 5, washMinutes: 45, minutesOn: null },
    changed: { setupMinutesByBeer: [], setupMinutes: 15, setupLossLitres: 5, washMinutes: 45, minutesOn: [] },
  },
  {
    kind: 'Fleet',
    read: 'externalRef cleanNow washDays returns { on quantity } site { externalRef } containerType { externalRef }',
    create: {
      externalRef: 'NEW-FLEET',
      site: ref('NEW-SITE'),
      containerType: ref('NEW-TYPE'),
      cleanNow: 40,
      returns: [{ on: '2027-03-09', quantity: 12 }],
    },
    shown: { washDays: 0, returns: [{ on: '2027-03-09', quantity: 12 }] },
    change: { cleanNow: 30, washDays: 2, returns: [] },
    changed: { cleanNow: 30, washDays: 2, returns: [] },
  },
  {
    kind: 'Store',
    read: 'externalRef name climate capacityLitres site { externalRef }',
    create: {
      externalRef: 'NEW-STORE',
      site: ref('NEW-SITE'),
      name: 'Cold store',
      climate: 'COLD',
      capacityLitres: 4000,
    },
    shown: {},
    change: { capacityLitres: 0 },
    changed: { capacityLitres: 0 },
  },
  {
    kind: 'Route',
    read: 'externalRef name weekdays transitDays capacityLitres capacity(unit: LITRE) closedOn site { externalRef }',
    create: {
      externalRef: 'NEW-ROUTE',
      site: ref('NEW-SITE'),
      name: 'Town',
      weekdays: [2, 4],
      transitDays: 0,
      capacityLitres: 2000,
    },
    shown: { capacity: 2000, closedOn: [] },
    change: { capacityLitres: null, closedOn: ['2027-05-03'] },
    changed: { capacityLitres: null, capacity: null, closedOn: ['2027-05-03'] },
  },
  {
    kind: 'Account',
    read: 'externalRef name routes { externalRef } receivesWeekdays settleDays minDaysOnSale maxEarlyDays returnDays',
    create: { externalRef: 'NEW-ACCOUNT', name: 'The Unpicked Hem', routes: [ref('NEW-ROUTE')] },
    shown: {
      routes: [ref('NEW-ROUTE')],
      receivesWeekdays: [1, 2, 3, 4, 5, 6, 7],
      settleDays: null,
      minDaysOnSale: 0,
      maxEarlyDays: 6,
      returnDays: null,
    },
    change: { settleDays: 1, returnDays: 14, receivesWeekdays: [2, 4] },
    changed: { settleDays: 1, returnDays: 14, receivesWeekdays: [2, 4] },
  },
  {
    kind: 'Batch',
    read: 'externalRef code litres volume(unit: HECTOLITRE) readyAt brewedOn transferredOn openedOn primable quarantined emptiedOn beer { externalRef } vessel { externalRef }',
    create: {
      externalRef: 'NEW-BATCH',
      code: 'N1',
      beer: ref('NEW-BEER'),
      vessel: ref('NEW-FV'),
      litres: 1500,
      readyAt: '2027-02-27T10:00:00-05:00',
      brewedOn: '2027-02-15',
    },
    shown: { volume: 15, readyAt: '2027-02-27T15:00:00.000Z', primable: true, quarantined: false, emptiedOn: null },
    change: { litres: 1400, openedOn: '2027-02-28', quarantined: true },
    changed: { litres: 1400, volume: 14, openedOn: '2027-02-28', quarantined: true },
    retired: false,
  },
  {
    kind: 'StockLot',
    read: 'externalRef code quantity filledOn readyOn bestBefore site { externalRef } pack { externalRef } batch { externalRef }',
    create: {
      externalRef: 'NEW-LOT',
      code: 'L1',
      site: ref('NEW-SITE'),
      pack: ref('NEW-PACK'),
      batch: ref('NEW-BATCH'),
      quantity: 8,
      filledOn: '2027-02-20',
      readyOn: '2027-02-25',
      bestBefore: '2027-04-03',
    },
    shown: { batch: ref('NEW-BATCH') },
    change: { quantity: 0, batch: null },
    changed: { quantity: 0, batch: null },
    retired: false,
  },
]

const lower = (kind: string) => kind.charAt(0).toLowerCase() + kind.slice(1)
const write = (verb: string, { kind, read }: Kind) => `mutation ($input: ${verb}${kind}Input!) {
  write: ${lower(verb)}${kind}(input: $input) { __typename
    ... on ${kind}Payload { revision ${lower(kind)} { id ${read} } }
    ... on InvalidInput { issues { path code message } } ... on Conflict { code message } } }`
const thing = z.record(z.string(), z.unknown())

test.each(KINDS)('$kind: what is created is read back, by id and by reference', async (kind) => {
  const { kind: name, read, create, shown } = kind
  const before = await revision()
  const { write: written } = await data(write('Create', kind), { input: create })
  expect(written).toMatchObject({ __typename: `${name}Payload`, revision: before + 1 })
  const made = thing.parse(thing.parse(written)[lower(name)])
  const plain = Object.fromEntries(
    Object.entries(create).filter(([key, value]) => typeof value !== 'object' && !(key in shown) && key !== 'readyAt'),
  )
  expect(made).toMatchObject({ ...plain, ...shown })
  for (const by of [{ externalRef: create.externalRef }, { id: made.id }]) {
    const query = `query ($by: ThingRef!) { found: ${lower(name)}(by: $by) { id ${read} } }`
    expect((await data(query, { by }, 'sales')).found).toEqual(made)
  }
  const node = await data(`query ($id: ID!) { node(id: $id) { id ... on ${name} { ${read} } } }`, { id: made.id })
  expect(node.node).toEqual(made)
})

test.each(KINDS)('$kind: a change changes what it names and nothing else', async (kind) => {
  const { kind: name, read, create, change, changed } = kind
  const by = { externalRef: create.externalRef }
  const query = `query ($by: ThingRef!) { found: ${lower(name)}(by: $by) { id ${read} } }`
  const before = thing.parse((await data(query, { by })).found)
  const { write: written } = await data(write('Change', kind), { input: { [lower(name)]: by, ...change } })
  expect(thing.parse(written)[lower(name)]).toEqual({ ...before, ...changed })
  const last = await client.changeLogEntry.findFirstOrThrow({
    where: { distributorId: DEMO_ID, entityType: name },
    orderBy: [{ revision: 'desc' }, { n: 'desc' }],
  })
  expect(last.revision).toBe(await revision())
  expect(last.kind).toMatch(/_CHANGED$/)
  expect(last.before).not.toEqual(last.after)
})

test.each(KINDS)('$kind: a change that names nothing is refused, a reference that is taken too', async (kind) => {
  const { kind: name, create } = kind
  const before = await revision()
  const nothing = { input: { [lower(name)]: { externalRef: create.externalRef } } }
  expect((await data(write('Change', kind), nothing)).write).toMatchObject({
    __typename: 'InvalidInput',
    issues: [{ path: '', code: 'NOTHING_TO_CHANGE' }],
  })
  const { write: again } = await data(write('Create', kind), { input: create })
  expect(['Conflict', 'InvalidInput']).toContain(thing.parse(again).__typename)
  expect(JSON.stringify(again)).toMatch(/EXTERNAL_REF_TAKEN/)
  expect(await revision()).toBe(before)
})

test('the records with all these things are a problem that the planner takes', async () => {
  const { problem } = await client.$transaction((tx) =>
    loadProblem(tx, DEMO_ID, { today: '2027-03-01', at: clock.now() }),
  )
  const parsed = parseProblem(JSON.parse(JSON.stringify(problem)))
  expect(parsed.ok ? [] : parsed.faults).toEqual([])
})

test('lists come in pages, are counted, and can be filtered', async () => {
  const query = `query ($first: Int, $after: String, $filter: SiteSetupFilter) {
    vessels(first: $first, after: $after, filter: $filter) {
      totalCount pageInfo { hasNextPage endCursor } edges { cursor node { id name site { externalRef } } } } }`
  const page = z.object({
    totalCount: z.number(),
    pageInfo: z.object({ hasNextPage: z.boolean(), endCursor: z.string() }),
    edges: z.array(
      z.object({ node: z.object({ id: z.string(), site: z.object({ externalRef: z.string().nullable() }) }) }),
    ),
  })
  const all = page.parse((await data(query, {})).vessels)
  expect(all.edges.length).toBe(all.totalCount)
  const seen: string[] = []
  for (let after: string | undefined; ; ) {
    const { edges, pageInfo, totalCount } = page.parse((await data(query, { first: 3, after })).vessels)
    expect(totalCount).toBe(all.totalCount)
    seen.push(...edges.map(({ node }) => node.id))
    if (!pageInfo.hasNextPage) break
    after = pageInfo.endCursor
  }
  expect(seen).toEqual(all.edges.map(({ node }) => node.id))
  const here = page.parse((await data(query, { filter: { site: ref('NEW-SITE'), retired: false } })).vessels)
  expect(here.edges.map(({ node }) => node.site)).toEqual([ref('NEW-SITE')])
  const named = page.parse((await data(query, { filter: { externalRefs: ['NEW-FV', 'NONE'] } })).vessels)
  expect(named.totalCount).toBe(1)
})

test.each([...KINDS].reverse().filter(({ retired }) => retired !== false))(
  '$kind: what is retired stays readable, leaves the lists of what is in use, and stays retired',
  async ({ kind, create }) => {
    const input = { [lower(kind)]: { externalRef: create.externalRef } }
    const retire = `mutation ($input: Retire${kind}Input!) { retire${kind}(input: $input) {
      __typename ... on ${kind}Payload { revision ${lower(kind)} { retiredAt } } } }`
    const first = (await data(retire, { input }))[`retire${kind}`]
    expect(first).toMatchObject({ [lower(kind)]: { retiredAt: '2027-03-01T09:00:00.000Z' } })
    expect((await data(retire, { input }))[`retire${kind}`]).toEqual(first)
    const filter = kind === 'Vessel' || kind === 'Filler' || kind === 'Fleet' || kind === 'Store' || kind === 'Route'
    const list = `query ($filter: ${filter ? 'Site' : ''}SetupFilter) { ${lower(kind)}s(filter: $filter) { totalCount } }`
    const count = (retired: boolean) => data(list, { filter: { retired, externalRefs: [create.externalRef] } })
    expect(await count(false)).toEqual({ [`${lower(kind)}s`]: { totalCount: 0 } })
    expect(await count(true)).toEqual({ [`${lower(kind)}s`]: { totalCount: 1 } })
  },
)

test("the distributor's own settings change, prices by term", async () => {
  const change = `mutation ($input: ChangeDistributorInput!) { changeDistributor(input: $input) {
    __typename ... on DistributorPayload { distributor { name horizonDays costs { late brew } } } ... on InvalidInput { issues { path code } } } }`
  expect((await data(change, { input: { horizonDays: 50, costs: { brew: 150 } } })).changeDistributor).toMatchObject({
    distributor: { horizonDays: 50, costs: { late: 2, brew: 150 } },
  })
  const wrong = { horizonDays: 0, costs: { brew: -1 } }
  expect((await data(change, { input: wrong })).changeDistributor).toMatchObject({
    issues: [
      { path: 'horizonDays', code: 'OUT_OF_RANGE' },
      { path: 'costs.brew', code: 'OUT_OF_RANGE' },
    ],
  })
})

test('of many who take one reference at once, one gets it, and every other is told', async () => {
  const create = `mutation { createAccount(input: { externalRef: "RACE", name: "The Twice-Wound Egg Timer", routes: [] }) {
    __typename ... on Conflict { code } } }`
  const before = await revision()
  const answers = await Promise.all(Array.from({ length: 8 }, () => data(create)))
  const kinds = answers.map(({ createAccount }) => z.object({ __typename: z.string() }).parse(createAccount).__typename)
  expect(kinds.filter((kind) => kind === 'AccountPayload')).toHaveLength(1)
  expect(kinds.filter((kind) => kind === 'Conflict')).toHaveLength(7)
  expect(await revision()).toBe(before + 1)
})
