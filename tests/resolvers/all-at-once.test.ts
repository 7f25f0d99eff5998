// Two faults of different stages in one request (its shape; what it names; names that are taken; values beside each other;
// the state of the records): both are in the answer, for every mutation and every question with more than one value.
import { expect, test } from 'vitest'
import { InvalidInput, type Issue } from '../../src/errors.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { placeOrder } from '../../src/resolvers/orders/place-order.ts'
import { schema } from '../../src/schema/schema.ts'
import { openPlannedDemo } from '../support/planned-demo.ts'
import { FAULTS_OF_ACCESS } from './faults-of-access.ts'
import { useCasesBy } from './use-cases.ts'

const { client, actor, scenario, stored } = await openPlannedDemo()
const { today, accounts: known } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[known[0]?.id ?? '']?.externalRef ?? '' }
const [pack, none] = [{ externalRef: 'MAR-KEG50' }, { externalRef: 'NONE' }]
const [serveOn, yesterday] = [addDays(today, 10), addDays(today, -1)]
await placeOrder(actor, {
  ...{ account, serveOn, accept: 'AS_DEMAND', externalRef: 'TAKEN' },
  lines: [{ pack, quantity: 1, externalRef: 'TAKEN/1' }],
})
for (const model of ['Site', 'ContainerType', 'Account', 'Vessel'])
  await client.$executeRawUnsafe(
    `UPDATE "${model}" SET "externalRef" = 'TAKEN' WHERE "id" = (SELECT min("id") FROM "${model}")`,
  )
const taken = { externalRef: 'TAKEN' }

type Expected = [path: string, code: Issue['code']][]
const NO_MINUTES: Expected[number] = ['minutes', 'OUT_OF_RANGE']
const whole = (...row: [mutation: string, input: object, expected: Expected]) => row
const batch = { code: 'X', beer: none, vessel: none, litres: 0, readyAt: `${today}T08:00:00Z` }
const lot = { code: 'X', site: none, pack, quantity: -1, filledOn: today, readyOn: today, bestBefore: today }
const unknownSubject = (key: string, values: object, wrong: string): [object, Expected] => [
  { [key]: none, ...values },
  [
    [wrong, 'OUT_OF_RANGE'],
    [key, 'NO_SUCH_THING'],
  ],
]

const TABLE: ReturnType<typeof whole>[] = [
  whole(
    'createSite',
    {
      ...{ externalRef: 'TAKEN', name: 'S', timeZone: 'Moon/Base', brewsPerDay: 1 },
      ...{ brewWeekdays: [8], fillWeekdays: [], brewEnds: '16:00', fillStarts: '08:00' },
    },
    [
      ['brewWeekdays[0]', 'OUT_OF_RANGE'],
      ['timeZone', 'UNKNOWN_TIME_ZONE'],
      ['externalRef', 'EXTERNAL_REF_TAKEN'],
    ],
  ),
  whole(
    'createVessel',
    {
      externalRef: 'TAKEN',
      name: 'V',
      site: none,
      kind: 'FERMENTER',
      capacityLitres: 100,
      minFillLitres: 200,
      turnaroundDays: -1,
    },
    [
      ['turnaroundDays', 'OUT_OF_RANGE'],
      ['site', 'UNKNOWN_REFERENCE'],
      ['minFillLitres', 'MINIMUM_ABOVE_CAPACITY'],
      ['externalRef', 'EXTERNAL_REF_TAKEN'],
    ],
  ),
  whole(
    'createBeer',
    {
      name: '',
      style: 'Mild',
      fermentHours: 1,
      restHours: 1,
      dryHopHours: 0,
      crashHours: 1,
      maxTankDays: 9,
      brightDays: 1,
      maxBrightDays: 9,
      lossFraction: 2,
      vessels: [none],
    },
    [
      ['name', 'BAD_LENGTH'],
      ['lossFraction', 'OUT_OF_RANGE'],
      ['vessels[0]', 'UNKNOWN_REFERENCE'],
    ],
  ),
  whole(
    'createPack',
    {
      name: 'P',
      beer: none,
      containerType: { id: 'x', externalRef: 'y' },
      drawFrom: 'CELLAR',
      conditioningDays: 1,
      settleDays: 1,
      shelfLifeDays: 9,
    },
    [
      ['containerType.externalRef', 'WRONG_TYPE'],
      ['drawFrom', 'UNKNOWN_CHOICE'],
      ['beer', 'UNKNOWN_REFERENCE'],
    ],
  ),
  whole('createContainerType', { externalRef: 'TAKEN', name: 'C', kind: 'CASK', nominalLitres: 0 }, [
    ['nominalLitres', 'OUT_OF_RANGE'],
    ['externalRef', 'EXTERNAL_REF_TAKEN'],
  ]),
  whole(
    'createFiller',
    { name: 'F', site: none, minutesPerDay: -1, fills: [{ containerType: none, minutesEach: 1 }] },
    [
      ['minutesPerDay', 'OUT_OF_RANGE'],
      ['site', 'UNKNOWN_REFERENCE'],
      ['fills[0].containerType', 'UNKNOWN_REFERENCE'],
    ],
  ),
  whole('createFleet', { site: none, containerType: none, cleanNow: -1 }, [
    ['cleanNow', 'OUT_OF_RANGE'],
    ['site', 'UNKNOWN_REFERENCE'],
    ['containerType', 'UNKNOWN_REFERENCE'],
  ]),
  whole('createStore', { name: 'S', site: none, climate: 'HOT', capacityLitres: 1 }, [
    ['climate', 'UNKNOWN_CHOICE'],
    ['site', 'UNKNOWN_REFERENCE'],
  ]),
  whole('createRoute', { name: 'R', site: none, weekdays: [1], transitDays: -1 }, [
    ['transitDays', 'OUT_OF_RANGE'],
    ['site', 'UNKNOWN_REFERENCE'],
  ]),
  whole('createAccount', { externalRef: 'TAKEN', name: 'A', routes: [none], settleDays: -1 }, [
    ['settleDays', 'OUT_OF_RANGE'],
    ['routes[0]', 'UNKNOWN_REFERENCE'],
    ['externalRef', 'EXTERNAL_REF_TAKEN'],
  ]),
  whole('createBatch', batch, [
    ['litres', 'OUT_OF_RANGE'],
    ['beer', 'UNKNOWN_REFERENCE'],
    ['vessel', 'UNKNOWN_REFERENCE'],
  ]),
  whole('createStockLot', { ...lot, bestBefore: yesterday }, [
    ['quantity', 'OUT_OF_RANGE'],
    ['site', 'UNKNOWN_REFERENCE'],
    ['bestBefore', 'LOT_DATES_REVERSED'],
  ]),
  ...(
    [
      ['Site', 'site', { brewsPerDay: -1 }, 'brewsPerDay'],
      ['Vessel', 'vessel', { turnaroundDays: -1 }, 'turnaroundDays'],
      ['Beer', 'beer', { maxTankDays: -1 }, 'maxTankDays'],
      ['Pack', 'pack', { settleDays: -1 }, 'settleDays'],
      ['ContainerType', 'containerType', { nominalLitres: 0 }, 'nominalLitres'],
      ['Filler', 'filler', { minutesPerDay: -1 }, 'minutesPerDay'],
      ['Fleet', 'fleet', { cleanNow: -1 }, 'cleanNow'],
      ['Store', 'store', { capacityLitres: -1 }, 'capacityLitres'],
      ['Route', 'route', { transitDays: -1 }, 'transitDays'],
      ['Account', 'account', { settleDays: -1 }, 'settleDays'],
      ['Batch', 'batch', { litres: 0 }, 'litres'],
      ['StockLot', 'stockLot', { quantity: -1 }, 'quantity'],
    ] as const
  ).map(([kind, key, values, wrong]): [string, object, Expected] => [
    `change${kind}`,
    ...unknownSubject(key, values, wrong),
  ]),
  whole('changeDistributor', { timeZone: 'Moon/Base', horizonDays: 0 }, [
    ['horizonDays', 'OUT_OF_RANGE'],
    ['timeZone', 'UNKNOWN_TIME_ZONE'],
  ]),
  ...FAULTS_OF_ACCESS,
  whole(
    'placeOrder',
    {
      externalRef: 'TAKEN',
      account: none,
      serveOn: yesterday,
      lines: [{ pack: none, quantity: 0, latestServeOn: addDays(today, -2), externalRef: 'TAKEN/1' }],
    },
    [
      ['lines[0].quantity', 'OUT_OF_RANGE'],
      ['account', 'UNKNOWN_REFERENCE'],
      ['lines[0].pack', 'UNKNOWN_REFERENCE'],
      ['serveOn', 'SERVE_DAY_PAST'],
      ['lines[0].latestServeOn', 'LATEST_BEFORE_SERVE'],
      ['accept', 'MISSING_VALUE'],
      ['externalRef', 'EXTERNAL_REF_TAKEN'],
      ['lines[0].externalRef', 'EXTERNAL_REF_TAKEN'],
    ],
  ),
  whole('reserveBeer', { account: none, serveOn, minutes: 0, lines: [{ pack: none, quantity: 1 }] }, [
    ['minutes', 'OUT_OF_RANGE'],
    ['account', 'UNKNOWN_REFERENCE'],
    ['lines[0].pack', 'UNKNOWN_REFERENCE'],
  ]),
  whole('reserveWithNewPlan', { offerToken: 'none', minutes: 0 }, [NO_MINUTES, ['offerToken', 'OFFER_ALTERED']]),
  whole('extendReservation', ...unknownSubject('reservation', { minutes: 0 }, 'minutes')),
  whole(
    'amendOrder',
    {
      order: none,
      accept: 'LATER',
      note: '',
      changeLines: [
        { line: none, quantity: 1 },
        { line: taken, quantity: 0, pack: none },
      ],
      addLines: [{ pack: none, quantity: 1, serveOn: yesterday }],
      cancelLines: [none],
    },
    [
      ['note', 'BAD_LENGTH'],
      ['changeLines[1].quantity', 'OUT_OF_RANGE'],
      ['order', 'NO_SUCH_THING'],
      ['changeLines[0].line', 'UNKNOWN_REFERENCE'],
      ['changeLines[1].line', 'UNKNOWN_REFERENCE'],
      ['addLines[0].pack', 'UNKNOWN_REFERENCE'],
      ['addLines[0].serveOn', 'SERVE_DAY_PAST'],
      ['cancelLines[0]', 'UNKNOWN_REFERENCE'],
    ],
  ),
  whole('cancelOrder', ...unknownSubject('order', { ifRevision: -1 }, 'ifRevision')),
  whole('adoptPlan', { id: '', acceptBrokenPromises: { lines: ['x'] } }, [
    ['id', 'BAD_LENGTH'],
    ['acceptBrokenPromises.lines[0]', 'UNKNOWN_REFERENCE'],
  ]),
  whole('draftRecall', { of: { lot: none }, again: true, seed: -1 }, [
    ['seed', 'OUT_OF_RANGE'],
    ['of.lot', 'NO_SUCH_THING'],
  ]),
  whole('draftPlan', { seed: -1, without: [{ vessel: none }, { day: { day: yesterday } }] }, [
    ['seed', 'OUT_OF_RANGE'],
    ['without[0].vessel', 'UNKNOWN_REFERENCE'],
    ['without[1].day.day', 'OUT_OF_RANGE'],
  ]),
  whole(
    'compare',
    { scenarios: [{ name: '', changes: [{ vesselOut: { vessel: none, from: serveOn, to: today } }, {}] }] },
    [
      ['scenarios[0].name', 'BAD_LENGTH'],
      ['scenarios[0].changes[1]', 'WRONG_TYPE'],
      ['scenarios[0].changes[0].vesselOut.vessel', 'UNKNOWN_REFERENCE'],
      ['scenarios[0].changes[0].vesselOut', 'SPAN_REVERSED'],
    ],
  ),
  whole('promise', { account: none, lines: [{ pack: none, quantity: 0 }] }, [
    ['lines[0].quantity', 'OUT_OF_RANGE'],
    ['account', 'UNKNOWN_REFERENCE'],
    ['lines[0].pack', 'UNKNOWN_REFERENCE'],
  ]),
  whole('availability', { account: none, from: 'soon', to: yesterday }, [
    ['from', 'NO_SUCH_DATE'],
    ['account', 'UNKNOWN_REFERENCE'],
    ['to', 'SERVE_DAY_PAST'],
  ]),
  whole('orders', { account: none, pack: none, serveFrom: 'soon' }, [
    ['filter.serveFrom', 'NO_SUCH_DATE'],
    ['filter.account', 'NO_SUCH_THING'],
    ['filter.pack', 'NO_SUCH_THING'],
  ]),
  whole('reservations', { account: none, status: 'GONE' }, [
    ['filter.status', 'UNKNOWN_CHOICE'],
    ['filter.account', 'NO_SUCH_THING'],
  ]),
]

const work = useCasesBy(actor)

/** Mutations whose input is one value: there is no second one to be wrong. */
const ONE_VALUE = /^(retire|revoke|release|discard|fix|unfix|enable|remove|test|resend)[A-Z]/

test('the table has every mutation whose input has more than one value', () => {
  // Facts are read by one use-case: tests/api/facts.test.ts has their faults of all stages at once.
  const mutations = Object.entries(schema.getMutationType()?.getFields() ?? {}).flatMap(([name, { description }]) =>
    // Things that are imported are judged as by their own mutation.
    ONE_VALUE.test(name) || /^import/.test(name) || /floor:write/.test(description ?? '') ? [] : [name],
  )
  expect(mutations.length).toBeGreaterThan(30)
  expect(mutations.filter((name) => !TABLE.some(([each]) => each === name))).toEqual([])
})

test.each(TABLE)('%s tells faults of all stages at once', async (name, input, expected) => {
  const before = await stored()
  const refused: unknown = await work[name]?.(input).then(
    () => undefined,
    (error: unknown) => error,
  )
  expect(refused).toBeInstanceOf(InvalidInput)
  const issues = refused instanceof InvalidInput ? refused.issues : []
  const named = (each: Pick<Issue, 'path' | 'code'>) => `${each.path} ${each.code}`
  expect(issues.map(named).sort()).toEqual(expected.map(([path, code]) => named({ path, code })).sort())
  expect(issues.every(({ action }) => action.endsWith('.'))).toBe(true)
  expect(await stored()).toEqual(before)
})
