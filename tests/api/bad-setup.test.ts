// Set-up input that is wrong: each gets a typed error that names the path, the rule and what to do; nothing is written, and
// the server keeps serving.
import { afterEach, beforeEach, expect, test } from 'vitest'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'
import { validInputs } from './valid-inputs.ts'

const { ask, data, faults, revision, client } = await openTestApi()
const site = await client.site.findFirstOrThrow()
const vessel = await client.vessel.findFirstOrThrow({ where: { kind: 'FERMENTER' } })
const beer = await client.beer.findFirstOrThrow()
const pack = await client.pack.findFirstOrThrow()
const idOf = (kind: string, { id }: { id: string }) => ({ id: encodeGlobalId(kind, id) })

let before: number
beforeEach(async () => {
  before = await revision()
})
afterEach(async () => {
  expect(await revision(), 'nothing was written').toBe(before)
  expect(faults, 'nothing unexpected happened').toEqual([])
  expect(await data('{ distributor { name } }')).toEqual({ distributor: { name: expect.any(String) } })
})

const CREATE = (kind: string) => `mutation ($input: Create${kind}Input!) { write: create${kind}(input: $input) {
  __typename ... on InvalidInput { issues { path code message action } } ... on Conflict { code message action } } }`

const { SITE, VESSEL, BEER, PACK, ROUTE, ACCOUNT, BATCH, LOT } = validInputs({
  site: idOf('Site', site),
  vessel: idOf('Vessel', vessel),
  beer: idOf('Beer', beer),
  pack: idOf('Pack', pack),
})

test.each<[string, string, Record<string, unknown>, [string, string][]]>([
  [
    'a vessel smaller than its minimum',
    'Vessel',
    { ...VESSEL, minFillLitres: 1001 },
    [['minFillLitres', 'MINIMUM_ABOVE_CAPACITY']],
  ],
  [
    'a vessel of no or endless capacity',
    'Vessel',
    { ...VESSEL, capacityLitres: 0, minFillLitres: 1e300 },
    [
      ['capacityLitres', 'OUT_OF_RANGE'],
      ['minFillLitres', 'OUT_OF_RANGE'],
    ],
  ],
  [
    'a vessel at a site that is not there',
    'Vessel',
    { ...VESSEL, site: { externalRef: 'NONE' } },
    [['site', 'UNKNOWN_REFERENCE']],
  ],
  [
    'a vessel at what is no site',
    'Vessel',
    { ...VESSEL, site: idOf('Vessel', vessel) },
    [['site', 'UNKNOWN_REFERENCE']],
  ],
  [
    'an outage that ends before it begins',
    'Vessel',
    { ...VESSEL, outOfService: [{ from: '2027-03-05', to: '2027-03-04' }] },
    [['outOfService[0]', 'SPAN_REVERSED']],
  ],
  [
    'an outage on days that do not exist',
    'Vessel',
    { ...VESSEL, outOfService: [{ from: '2027-02-31', to: 'soon' }] },
    [
      ['outOfService[0].from', 'NO_SUCH_DATE'],
      ['outOfService[0].to', 'NO_SUCH_DATE'],
    ],
  ],
  [
    'stages of negative length',
    'Beer',
    { ...BEER, fermentHours: -1, crashHours: -0.5 },
    [
      ['fermentHours', 'OUT_OF_RANGE'],
      ['crashHours', 'OUT_OF_RANGE'],
    ],
  ],
  ['a loss of everything', 'Beer', { ...BEER, lossFraction: 1 }, [['lossFraction', 'OUT_OF_RANGE']]],
  ['a beer without a name', 'Beer', { ...BEER, name: ' ' }, [['name', 'BAD_LENGTH']]],
  ['a name that cannot be kept', 'Beer', { ...BEER, name: 'a\u0000b' }, [['name', 'BAD_TEXT']]],
  [
    'a beer for vessels that are not there',
    'Beer',
    { ...BEER, vessels: [idOf('Vessel', vessel), { externalRef: 'NONE' }] },
    [['vessels[1]', 'UNKNOWN_REFERENCE']],
  ],
  ['a pack in a container that is not there', 'Pack', PACK, [['containerType', 'UNKNOWN_REFERENCE']]],
  [
    'a pack that keeps for less than no time',
    'Pack',
    { ...PACK, shelfLifeDays: -1 },
    [
      ['shelfLifeDays', 'OUT_OF_RANGE'],
      ['containerType', 'UNKNOWN_REFERENCE'],
    ],
  ],
  [
    'a calendar with an eighth weekday',
    'Site',
    { ...SITE, brewWeekdays: [1, 8], fillWeekdays: [0] },
    [
      ['brewWeekdays[1]', 'OUT_OF_RANGE'],
      ['fillWeekdays[0]', 'OUT_OF_RANGE'],
    ],
  ],
  [
    'a calendar closed on 31 February',
    'Site',
    { ...SITE, closedOn: ['2027-02-31'] },
    [['closedOn[0]', 'NO_SUCH_DATE']],
  ],
  [
    'a time zone that is not there',
    'Site',
    { ...SITE, timeZone: 'Moon/Tranquility' },
    [['timeZone', 'UNKNOWN_TIME_ZONE']],
  ],
  [
    'times that no clock shows',
    'Site',
    { ...SITE, brewEnds: '24:00', fillStarts: '8am' },
    [
      ['brewEnds', 'NO_SUCH_TIME'],
      ['fillStarts', 'NO_SUCH_TIME'],
    ],
  ],
  [
    'a thousand million brews a day',
    'Site',
    { ...SITE, brewsPerDay: 1_000_000_000 },
    [['brewsPerDay', 'OUT_OF_RANGE']],
  ],
  ['a route that arrives before it leaves', 'Route', { ...ROUTE, transitDays: -1 }, [['transitDays', 'OUT_OF_RANGE']]],
  [
    'an account on a route that is not there',
    'Account',
    { ...ACCOUNT, routes: [{ externalRef: 'NONE' }] },
    [['routes[0]', 'UNKNOWN_REFERENCE']],
  ],
  [
    'a batch in a vessel that holds one',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'TAKEN' } },
    [['vessel', 'VESSEL_HOLDS_TWO_BATCHES']],
  ],
  [
    'a batch brewed tomorrow',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, brewedOn: '2027-03-02' },
    [
      ['brewedOn', 'FACT_IN_FUTURE'],
      ['brewedOn', 'BREWED_AFTER_READY'],
    ],
  ],
  [
    'a batch of more beer than its vessel holds',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, litres: 9_999 },
    [['litres', 'MORE_THAN_VESSEL_HOLDS']],
  ],
  [
    'a batch that was ready ten years ago',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, readyAt: '2017-03-01T00:00:00Z' },
    [['readyAt', 'DAY_OUT_OF_REACH']],
  ],
  [
    'a batch that is ready in ten years',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, readyAt: '2037-03-01T00:00:00Z' },
    [['readyAt', 'DAY_OUT_OF_REACH']],
  ],
  [
    'a batch brewed after it was ready, and opened before it was brewed',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, brewedOn: '2027-02-02', openedOn: '2027-02-01' },
    [
      ['brewedOn', 'BREWED_AFTER_READY'],
      ['openedOn', 'BEFORE_BREWED'],
    ],
  ],
  [
    'a lot past its best before it is ready',
    'StockLot',
    { ...LOT, readyOn: '2027-02-20', bestBefore: '2027-02-10' },
    [['bestBefore', 'LOT_DATES_REVERSED']],
  ],
  [
    'a batch transferred into a fermenter',
    'Batch',
    { ...BATCH, vessel: { externalRef: 'FREE' }, transferredOn: '2027-02-02' },
    [['transferredOn', 'TRANSFER_DATE_UNEXPECTED']],
  ],
  [
    'a batch ready at no instant, in a vessel that holds one',
    'Batch',
    { ...BATCH, readyAt: '2027-02-01' },
    [
      ['readyAt', 'NO_SUCH_INSTANT'],
      ['vessel', 'VESSEL_HOLDS_TWO_BATCHES'],
    ],
  ],
  [
    'a lot that is ready before its fill',
    'StockLot',
    { ...LOT, readyOn: '2027-01-31', bestBefore: '2027-01-30' },
    [
      ['readyOn', 'LOT_DATES_REVERSED'],
      ['bestBefore', 'LOT_DATES_REVERSED'],
    ],
  ],
  ['a thousand million casks', 'StockLot', { ...LOT, quantity: 1_000_000_000 }, [['quantity', 'OUT_OF_RANGE']]],
])('%s', async (_words, kind, input, expected) => {
  if (kind === 'Batch') await twoVessels()
  const { write } = await data(CREATE(kind), { input })
  expect(write).toEqual({
    __typename: 'InvalidInput',
    issues: expected.map(([path, code]) => ({
      path,
      code,
      message: expect.any(String),
      action: expect.stringMatching(/\.$/),
    })),
  })
})

/** A fermenter that holds a batch, and one that does not. */
async function twoVessels() {
  const orderBy = { id: 'asc' } as const
  const taken = await client.batch.findFirstOrThrow({ where: { vesselKind: 'FERMENTER', emptiedOn: null }, orderBy })
  const update = (id: string, externalRef: string) =>
    client.vessel.update({
      where: { distributorId_id: { distributorId: taken.distributorId, id } },
      data: { externalRef },
    })
  await update(taken.vesselId, 'TAKEN')
  const standing = await client.batch.findMany({ where: { emptiedOn: null } })
  const free = await client.vessel.findFirst({
    where: { kind: 'FERMENTER', id: { notIn: standing.map(({ vesselId }) => vesselId) } },
    orderBy,
  })
  if (free) await update(free.id, 'FREE')
}

test('two things with one reference', async () => {
  const named = await client.account.findFirstOrThrow({ where: { externalRef: { not: null } } })
  const { write } = await data(CREATE('Account'), { input: { ...ACCOUNT, externalRef: named.externalRef } })
  expect(write).toEqual({
    __typename: 'Conflict',
    code: 'EXTERNAL_REF_TAKEN',
    message: `Another account has the reference "${named.externalRef}".`,
    action: expect.any(String),
  })
})

test('input that does not fit the schema names the value and says what to do', async () => {
  for (const [kind, input] of [
    ['Vessel', { ...VESSEL, kind: 'BUCKET' }],
    ['Vessel', { ...VESSEL, colour: 'red' }],
    ['Vessel', { ...VESSEL, site: { id: 'a', externalRef: 'b' } }],
    ['Vessel', { ...VESSEL, site: {} }],
    ['Beer', { ...BEER, fermentHours: 'long' }],
    ['Beer', { ...BEER, fermentHours: null }],
    ['StockLot', { ...LOT, quantity: 4_000_000_000 }],
    ['StockLot', { ...LOT, quantity: 1.5 }],
  ] as const) {
    const { errors, data } = await ask(CREATE(kind), { input })
    expect(data ?? null).toBeNull()
    expect(errors?.[0]).toMatchObject({
      message: expect.stringContaining('$input'),
      extensions: { code: 'BAD_QUERY', action: expect.any(String) },
    })
  }
})
