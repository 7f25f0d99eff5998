// A small hand-made problem that uses everything: two sites, casks from a fermenter, a transfer, kegs from a bright
// vessel, a primed pack, a quarantined batch, stock, fleets with returns, stores, a full van, a baseline.
// Day numbers in comments (d9) count from today, Monday 1 March 2027 = d0. Clocks change on 28 March = d27.

import type { Plan, Problem, ProblemDocument } from '../../../src/planner/documents/index.ts'
import { addDays, withDefaults } from '../../../src/planner/documents/index.ts'
import { beers } from './base-beers.ts'

/** The date of day `n` of the base problem; today is day 0. */
export function d(n: number): string {
  return addDays('2027-03-01', n)
}

const noCost: Plan['cost'] = {
  total: 0,
  terms: {
    unservedPromised: 0,
    unserved: 0,
    latePromised: 0,
    late: 0,
    dumped: 0,
    unsold: 0,
    brew: 0,
    setup: 0,
    drop: 0,
    standing: 0,
    churn: 0,
  },
}

/** A fresh copy of the base problem, free to be changed. */
export function baseProblem(): Problem {
  return withDefaults({
    today: d(0),
    horizonDays: 42, // to d41, 11 April
    frozenDays: 2, // d0 and d1
    sites: sites(),
    vessels: vessels(),
    fillers: fillers(),
    fleets: fleets(),
    stores: stores(),
    containerTypes: [
      { id: 'firkin', kind: 'CASK', nominalLitres: 40, overfillFraction: 0.01 },
      { id: 'keg', kind: 'KEG', nominalLitres: 30 },
    ],
    beers: beers(),
    routes: [
      { id: 'van', siteId: 'hill', weekdays: [2, 4], transitDays: 1, capacityLitres: 900 },
      { id: 'cart', siteId: 'coast', weekdays: [3], transitDays: 0, closedOn: [d(2)] },
    ],
    accounts: accounts(),
    batches: batches(),
    stock: stock(),
    orderLines: orderLines(),
    baseline: baseline(),
  })
}

function sites(): ProblemDocument['sites'] {
  return [
    {
      id: 'hill',
      timeZone: 'Europe/London',
      brewWeekdays: [1, 2, 3, 4],
      fillWeekdays: [1, 2, 3, 4, 5],
      closedOn: [d(16)],
      brewsPerDay: 2,
      brewLitres: 1000,
      brewEnds: '18:00',
      fillStarts: '08:00',
    },
    {
      id: 'coast',
      timeZone: 'Europe/Dublin',
      brewWeekdays: [],
      fillWeekdays: [],
      brewsPerDay: 0,
      brewEnds: '18:00',
      fillStarts: '08:00',
    },
  ]
}

function vessels(): ProblemDocument['vessels'] {
  return [
    { id: 'FV1', siteId: 'hill', kind: 'FERMENTER', capacityLitres: 2000, minFillLitres: 500, turnaroundDays: 1 },
    { id: 'FV2', siteId: 'hill', kind: 'FERMENTER', capacityLitres: 1000, minFillLitres: 500, turnaroundDays: 1 },
    { id: 'FV3', siteId: 'hill', kind: 'FERMENTER', capacityLitres: 1000, minFillLitres: 500, turnaroundDays: 1 },
    {
      id: 'BT1',
      siteId: 'hill',
      kind: 'BRIGHT',
      capacityLitres: 1500,
      minFillLitres: 300,
      turnaroundDays: 0,
      availableFrom: d(2),
      outOfService: [{ from: d(20), to: d(22) }],
    },
    { id: 'BT2', siteId: 'hill', kind: 'BRIGHT', capacityLitres: 800, minFillLitres: 100, turnaroundDays: 0 },
  ]
}

function fillers(): ProblemDocument['fillers'] {
  return [
    {
      id: 'line',
      siteId: 'hill',
      minutesPerDay: 240,
      minutesOn: { [d(8)]: 130 },
      setupMinutes: { pale: 30 },
      setupLossLitres: 10,
      minutesEach: { firkin: 5, keg: 3 },
    },
  ]
}

function fleets(): ProblemDocument['fleets'] {
  return [
    { siteId: 'hill', containerTypeId: 'firkin', cleanNow: 19, returns: [{ on: d(5), quantity: 30 }], washDays: 2 },
    { siteId: 'hill', containerTypeId: 'keg', cleanNow: 40, washDays: 1 },
  ]
}

function stores(): ProblemDocument['stores'] {
  return [
    { siteId: 'hill', climate: 'WARM', capacityLitres: 1160 },
    { siteId: 'hill', climate: 'COLD', capacityLitres: 1760 },
    { siteId: 'coast', climate: 'COLD', capacityLitres: 300 },
  ]
}

function accounts(): ProblemDocument['accounts'] {
  return [
    { id: 'inn', routeIds: ['van'], receivesWeekdays: [1, 2, 3, 4, 5], returnDays: 3 },
    { id: 'club', routeIds: ['van', 'cart'], settleDays: 1, minDaysOnSale: 5 },
  ]
}

function batches(): ProblemDocument['batches'] {
  return [
    { id: 'B1', beerId: 'pale', vesselId: 'FV2', litres: 800, readyAt: '2027-03-02T06:00:00Z' },
    {
      id: 'B2',
      beerId: 'pale',
      vesselId: 'BT2',
      litres: 200,
      readyAt: '2027-02-24T06:00:00Z',
      transferredOn: d(-4),
      openedOn: d(-3),
    },
    { id: 'B3', beerId: 'pale', vesselId: 'FV3', litres: 150, readyAt: '2027-01-20T06:00:00Z', quarantined: true },
  ]
}

function stock(): ProblemDocument['stock'] {
  return [
    {
      id: 'K1',
      siteId: 'coast',
      packId: 'dark-cask',
      quantity: 6,
      filledOn: d(-17),
      readyOn: d(-12),
      bestBefore: d(25),
    },
    {
      id: 'K2',
      siteId: 'hill',
      packId: 'pale-cask',
      quantity: 3,
      filledOn: d(-10),
      readyOn: d(-7),
      bestBefore: d(20),
    },
    {
      id: 'K3',
      siteId: 'hill',
      packId: 'pale-keg',
      quantity: 2,
      filledOn: d(-69),
      readyOn: d(-67),
      bestBefore: d(-9),
    },
  ]
}

function orderLines(): ProblemDocument['orderLines'] {
  return [
    { id: 'l1', orderId: 'o1', accountId: 'inn', packId: 'pale-cask', quantity: 10, serveOn: d(11) },
    { id: 'l2', orderId: 'o2', accountId: 'club', packId: 'pale-gravity', quantity: 9, serveOn: d(14) },
    { id: 'l3', orderId: 'o3', accountId: 'inn', packId: 'pale-keg', quantity: 6, serveOn: d(4) },
    { id: 'l4', orderId: 'o4', accountId: 'inn', packId: 'pale-cask', quantity: 14, serveOn: d(18), priority: 1 },
    {
      id: 'l5',
      orderId: 'o5',
      accountId: 'club',
      packId: 'pale-cask',
      quantity: 4,
      serveOn: d(17),
      promisedOn: d(17),
    },
    { id: 'l6', orderId: 'o6', accountId: 'inn', packId: 'pale-gravity', quantity: 5, serveOn: d(20), priority: 2 },
    {
      id: 'l7',
      orderId: 'o7',
      accountId: 'club',
      packId: 'pale-keg',
      quantity: 28,
      serveOn: d(17),
      splittable: true,
    },
    {
      id: 'l8',
      orderId: 'o8',
      accountId: 'inn',
      packId: 'pale-cask',
      quantity: 11,
      serveOn: d(38),
      promisedOn: d(38),
    },
    { id: 'l9', orderId: 'o9', accountId: 'club', packId: 'dark-cask', quantity: 4, serveOn: d(10) },
    {
      id: 'l10',
      orderId: 'o10',
      accountId: 'inn',
      packId: 'pale-cask',
      quantity: 2,
      serveOn: d(1),
      latestServeOn: d(2),
    },
  ]
}

function baseline(): ProblemDocument['baseline'] {
  return {
    brews: [
      { id: 'P1', beerId: 'pale', vesselId: 'FV1', brewOn: d(0), litres: 2000 },
      { id: 'P2', beerId: 'pale', vesselId: 'FV1', brewOn: d(22), litres: 500 },
      { id: 'B1', beerId: 'pale', vesselId: 'FV2', brewOn: d(1), litres: 840 },
    ],
    transfers: [{ id: 'T1', batchId: 'P1', toVesselId: 'BT1', on: d(9), litres: 870, fixed: true }],
    fillRuns: [
      { id: 'R0', batchId: 'B2', fillerId: 'line', on: d(-3), packId: 'pale-keg', quantity: 10 },
      { id: 'R1', batchId: 'B1', fillerId: 'line', on: d(1), packId: 'pale-cask', quantity: 10 },
      { id: 'R2', batchId: 'B2', fillerId: 'line', on: d(1), packId: 'pale-keg', quantity: 6 },
      { id: 'R9', batchId: 'P9', fillerId: 'line', on: d(30), packId: 'dark-cask', quantity: 12 },
    ],
    deliveries: [],
    dumped: [],
    unserved: [],
    cost: noCost,
  }
}
