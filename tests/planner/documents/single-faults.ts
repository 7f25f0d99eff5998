// One fault each: a change to the base problem, and the path and code under which it is reported.
import { d } from '../base/base-problem.ts'

/** A JSON document, loose enough to be broken at any place. */
export interface Loose extends Record<Name | 0 | 1 | 2 | 3 | 9, Loose>, Iterable<Loose> {
  length: number
  push(value: unknown): void
}

/** Names that the changes below go by. */
type Name =
  | 'accounts'
  | 'baseline'
  | 'batches'
  | 'beers'
  | 'brews'
  | 'cutOff'
  | 'deliveries'
  | 'fillRuns'
  | 'fillers'
  | 'fleets'
  | 'from'
  | 'minutesEach'
  | 'minutesOn'
  | 'orderLines'
  | 'outOfService'
  | 'packs'
  | 'routeIds'
  | 'routes'
  | 'setupMinutes'
  | 'sites'
  | 'stock'
  | 'stores'
  | 'vesselIds'
  | 'vessels'
  | 'weekdays'

export const put = (holder: unknown, key: string, value: unknown) => {
  if (typeof holder === 'object' && holder !== null) Reflect.set(holder, key, value)
}

/** What the fault is, the change, its path and its code. */
export const SINGLE_FAULTS: [string, (p: Loose) => void, string, string][] = [
  ['a missing value', (p) => Reflect.deleteProperty(p.beers[0], 'style'), 'beers[0].style', 'MISSING_VALUE'],
  ['a missing list', (p) => Reflect.deleteProperty(p, 'beers'), 'beers', 'MISSING_VALUE'],
  ['a missing choice', (p) => Reflect.deleteProperty(p.vessels[0], 'kind'), 'vessels[0].kind', 'MISSING_VALUE'],
  ['a text for a number', (p) => put(p, 'horizonDays', '42'), 'horizonDays', 'WRONG_TYPE'],
  ['null for a list', (p) => put(p.accounts[0], 'routeIds', null), 'accounts[0].routeIds', 'WRONG_TYPE'],
  [
    'a text for set-up minutes',
    (p) => put(p.fillers[0], 'setupMinutes', 'long'),
    'fillers[0].setupMinutes',
    'WRONG_TYPE',
  ],
  ['an unknown key', (p) => put(p.beers[1].packs[0], 'colour', 'black'), 'beers[1].packs[0].colour', 'UNKNOWN_KEY'],
  ['stages of negative length', (p) => put(p.beers[0], 'crashHours', -1), 'beers[0].crashHours', 'OUT_OF_RANGE'],
  ['a loss of everything', (p) => put(p.beers[0], 'lossFraction', 1), 'beers[0].lossFraction', 'OUT_OF_RANGE'],
  ['an eighth weekday', (p) => put(p.routes[0].weekdays, '1', 8), 'routes[0].weekdays[1]', 'OUT_OF_RANGE'],
  ['a quantity of zero', (p) => put(p.orderLines[3], 'quantity', 0), 'orderLines[3].quantity', 'OUT_OF_RANGE'],
  ['a thousand million casks', (p) => put(p.orderLines[3], 'quantity', 1e9), 'orderLines[3].quantity', 'OUT_OF_RANGE'],
  ['a negative cost', (p) => put(p, 'costs', { late: -2 }), 'costs.late', 'OUT_OF_RANGE'],
  [
    'negative minutes on a day',
    (p) => put(p.fillers[0].minutesOn, d(3), -5),
    `fillers[0].minutesOn["${d(3)}"]`,
    'OUT_OF_RANGE',
  ],
  [
    'negative set-up minutes',
    (p) => put(p.fillers[0].setupMinutes, 'pale', -5),
    'fillers[0].setupMinutes.pale',
    'OUT_OF_RANGE',
  ],
  ['half a cask', (p) => put(p.orderLines[0], 'quantity', 1.5), 'orderLines[0].quantity', 'NOT_WHOLE'],
  ['an empty id', (p) => put(p.stores[0], 'siteId', ''), 'stores[0].siteId', 'BAD_LENGTH'],
  ['an empty key', (p) => put(p.fillers[0].minutesEach, '', 4), 'fillers[0].minutesEach[""]', 'BAD_LENGTH'],
  ['an unknown kind', (p) => put(p.vessels[0], 'kind', 'BARREL'), 'vessels[0].kind', 'UNKNOWN_CHOICE'],
  ['a fourth priority', (p) => put(p.orderLines[0], 'priority', 4), 'orderLines[0].priority', 'UNKNOWN_CHOICE'],
  ['31 February', (p) => put(p.orderLines[0], 'serveOn', '2027-02-31'), 'orderLines[0].serveOn', 'NO_SUCH_DATE'],
  ['29 February of a common year', (p) => put(p, 'today', '2027-02-29'), 'today', 'NO_SUCH_DATE'],
  [
    'a key that is no date',
    (p) => put(p.fillers[0].minutesOn, '2027-02-30', 5),
    'fillers[0].minutesOn["2027-02-30"]',
    'NO_SUCH_DATE',
  ],
  [
    'an instant without offset',
    (p) => put(p.batches[0], 'readyAt', '2027-03-02T06:00:00'),
    'batches[0].readyAt',
    'NO_SUCH_INSTANT',
  ],
  [
    'a cut-off at no time of day',
    (p) => put(p.routes[0], 'cutOff', { daysBefore: 1, at: '3 pm' }),
    'routes[0].cutOff.at',
    'NO_SUCH_TIME',
  ],
  [
    'a cut-off more than sixty days before',
    (p) => put(p.routes[0], 'cutOff', { daysBefore: 61, at: '15:00' }),
    'routes[0].cutOff.daysBefore',
    'OUT_OF_RANGE',
  ],
  [
    'an order placed on a day alone',
    (p) => put(p.orderLines[0], 'placedAt', '2027-03-01'),
    'orderLines[0].placedAt',
    'NO_SUCH_INSTANT',
  ],
  ['25 o’clock', (p) => put(p.sites[0], 'brewEnds', '25:00'), 'sites[0].brewEnds', 'NO_SUCH_TIME'],
  [
    'an unknown time zone',
    (p) => put(p.sites[0], 'timeZone', 'Europe/Atlantis'),
    'sites[0].timeZone',
    'UNKNOWN_TIME_ZONE',
  ],
  ['a horizon past all dates', (p) => put(p, 'today', '9999-12-01'), 'horizonDays', 'HORIZON_OUTSIDE_CALENDAR'],
  ['two things with one id', (p) => p.accounts.push(p.accounts[0]), 'accounts[2].id', 'DUPLICATE_ID'],
  [
    'one pack id in two beers',
    (p) => p.beers[1].packs.push(p.beers[0].packs[2]),
    'beers[1].packs[1].id',
    'DUPLICATE_ID',
  ],
  [
    'one id twice in the baseline',
    (p) => put(p.baseline.fillRuns[3], 'id', 'R1'),
    'baseline.fillRuns[3].id',
    'DUPLICATE_ID',
  ],
  [
    'two fleets of one type at a site',
    (p) => put(p.fleets[1], 'containerTypeId', 'firkin'),
    'fleets[1]',
    'DUPLICATE_FLEET',
  ],
  ['two stores of one climate at a site', (p) => put(p.stores[1], 'climate', 'WARM'), 'stores[1]', 'DUPLICATE_STORE'],
  ['a vessel of no site', (p) => put(p.vessels[0], 'siteId', 'moon'), 'vessels[0].siteId', 'UNKNOWN_REFERENCE'],
  ['a filler of no site', (p) => put(p.fillers[0], 'siteId', 'moon'), 'fillers[0].siteId', 'UNKNOWN_REFERENCE'],
  [
    'set-up minutes for no beer',
    (p) => put(p.fillers[0].setupMinutes, 'mild', 9),
    'fillers[0].setupMinutes.mild',
    'UNKNOWN_REFERENCE',
  ],
  [
    'minutes for no container',
    (p) => put(p.fillers[0].minutesEach, 'half barrel', 9),
    'fillers[0].minutesEach["half barrel"]',
    'UNKNOWN_REFERENCE',
  ],
  [
    'a fleet of no container',
    (p) => put(p.fleets[0], 'containerTypeId', 'tun'),
    'fleets[0].containerTypeId',
    'UNKNOWN_REFERENCE',
  ],
  ['a store of no site', (p) => put(p.stores[0], 'siteId', 'moon'), 'stores[0].siteId', 'UNKNOWN_REFERENCE'],
  [
    'a beer’s vessel that is not there',
    (p) => put(p.beers[0].vesselIds, '1', 'FV9'),
    'beers[0].vesselIds[1]',
    'UNKNOWN_REFERENCE',
  ],
  [
    'a pack in no container',
    (p) => put(p.beers[0].packs[2], 'containerTypeId', 'tun'),
    'beers[0].packs[2].containerTypeId',
    'UNKNOWN_REFERENCE',
  ],
  ['a route of no site', (p) => put(p.routes[1], 'siteId', 'moon'), 'routes[1].siteId', 'UNKNOWN_REFERENCE'],
  [
    'an account on no route',
    (p) => put(p.accounts[0].routeIds, '0', 'bus'),
    'accounts[0].routeIds[0]',
    'UNKNOWN_REFERENCE',
  ],
  ['a batch of no beer', (p) => put(p.batches[0], 'beerId', 'mild'), 'batches[0].beerId', 'UNKNOWN_REFERENCE'],
  ['a batch in no vessel', (p) => put(p.batches[0], 'vesselId', 'FV9'), 'batches[0].vesselId', 'UNKNOWN_REFERENCE'],
  ['a lot of no pack', (p) => put(p.stock[0], 'packId', 'mild-cask'), 'stock[0].packId', 'UNKNOWN_REFERENCE'],
  ['a lot at no site', (p) => put(p.stock[0], 'siteId', 'moon'), 'stock[0].siteId', 'UNKNOWN_REFERENCE'],
  [
    'a line of no account',
    (p) => put(p.orderLines[0], 'accountId', 'pub'),
    'orderLines[0].accountId',
    'UNKNOWN_REFERENCE',
  ],
  [
    'a line of a pack that does not exist',
    (p) => put(p.orderLines[0], 'packId', 'mild-cask'),
    'orderLines[0].packId',
    'UNKNOWN_REFERENCE',
  ],
  [
    'a vessel smaller than its minimum',
    (p) => put(p.vessels[0], 'capacityLitres', 499),
    'vessels[0].minFillLitres',
    'MINIMUM_ABOVE_CAPACITY',
  ],
  [
    'an outage that ends before it starts',
    (p) => put(p.vessels[3].outOfService[0], 'to', d(19)),
    'vessels[3].outOfService[0]',
    'SPAN_REVERSED',
  ],
  [
    'a bright vessel without a day of transfer',
    (p) => Reflect.deleteProperty(p.batches[1], 'transferredOn'),
    'batches[1].transferredOn',
    'TRANSFER_DATE_MISSING',
  ],
  [
    'a fermenter with a day of transfer',
    (p) => put(p.batches[0], 'transferredOn', d(-1)),
    'batches[0].transferredOn',
    'TRANSFER_DATE_UNEXPECTED',
  ],
  [
    'two batches in one vessel',
    (p) => put(p.batches[2], 'vesselId', 'FV2'),
    'batches[2].vesselId',
    'VESSEL_HOLDS_TWO_BATCHES',
  ],
  ['a vessel opened tomorrow', (p) => put(p.batches[0], 'openedOn', d(1)), 'batches[0].openedOn', 'FACT_IN_FUTURE'],
  [
    'a transfer tomorrow',
    (p) => Object.assign(p.batches[1], { transferredOn: d(1), openedOn: undefined }),
    'batches[1].transferredOn',
    'FACT_IN_FUTURE',
  ],
  [
    'stock filled tomorrow',
    (p) => Object.assign(p.stock[0], { filledOn: d(1), readyOn: d(6) }),
    'stock[0].filledOn',
    'FACT_IN_FUTURE',
  ],
  [
    'a vessel opened before the transfer',
    (p) => put(p.batches[1], 'openedOn', d(-5)),
    'batches[1].openedOn',
    'OPENED_BEFORE_TRANSFER',
  ],
  ['stock ready before its fill', (p) => put(p.stock[0], 'readyOn', d(-18)), 'stock[0].readyOn', 'LOT_DATES_REVERSED'],
  [
    'stock best before its fill',
    (p) => put(p.stock[2], 'bestBefore', d(-70)),
    'stock[2].bestBefore',
    'LOT_DATES_REVERSED',
  ],
  [
    'a latest day before the serve day',
    (p) => put(p.orderLines[9], 'latestServeOn', d(0)),
    'orderLines[9].latestServeOn',
    'LATEST_BEFORE_SERVE',
  ],
  [
    'a baseline delivery from nothing',
    (p) =>
      p.baseline.deliveries.push({
        orderLineId: 'l1',
        routeId: 'van',
        dispatchOn: d(8),
        serveOn: d(11),
        from: [{ quantity: 1 }],
      }),
    'baseline.deliveries[0].from[0]',
    'SOURCE_NOT_SINGLE',
  ],
]
