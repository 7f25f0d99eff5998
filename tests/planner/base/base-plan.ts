// A valid plan for the base problem, made by hand. Litres, minutes and costs are worked out in the comments.
import type { Plan, Reason, RuleNumber } from '../../../src/planner/documents/index.ts'
import { d } from './base-problem.ts'

/** A fresh copy of the base plan, free to be changed. */
export function basePlan(): Plan {
  return {
    brews: [
      // Two brews of 1000 L; 5 % stay behind: 1900 L. From 18:00 of d0 168 hours to 18:00 of d7: ready on d8.
      { id: 'P1', beerId: 'pale', vesselId: 'FV1', brewOn: d(0), litres: 2000 },
      // 475 L, ready on d29: the clocks change on d27 and that makes no difference.
      { id: 'P2', beerId: 'pale', vesselId: 'FV1', brewOn: d(21), litres: 500 },
    ],
    // P1: 1900 − R4 (20 × 40.4 + 10 for the set-up) − R5 (5 × 40.4 + 10) = 870 L.
    transfers: [{ id: 'T1', batchId: 'P1', toVesselId: 'BT1', on: d(9), litres: 870, fixed: true }],
    fillRuns: fillRuns(),
    deliveries: deliveries(),
    dumped: [
      { batchId: 'B2', on: d(1), litres: 10 }, // 200 − 6 × 30 − 10
      { batchId: 'B1', on: d(2), litres: 12.4 }, // 800 − 10 × 40.4 − 10 − 9 × 40.4 − 10
      { batchId: 'P1', on: d(11), litres: 20 }, // 870 − 28 × 30 − 10
    ],
    unserved: [
      { orderLineId: 'l7', quantity: 2, reasons: why('D1', 'The van is full.') },
      { orderLineId: 'l10', quantity: 2, reasons: why('B1', 'Nothing can arrive in time.') },
    ],
    late: late(),
    brokenPromises: [
      { orderLineId: 'l8', promisedOn: d(38), now: d(39), reasons: why('T2', 'The van leaves on Tuesday.') },
    ],
    cost: cost(),
  }
}

function fillRuns(): Plan['fillRuns'] {
  return [
    { id: 'R1', batchId: 'B1', fillerId: 'line', on: d(1), packId: 'pale-cask', quantity: 10 },
    { id: 'R2', batchId: 'B2', fillerId: 'line', on: d(1), packId: 'pale-keg', quantity: 6 },
    { id: 'R3', batchId: 'B1', fillerId: 'line', on: d(2), packId: 'pale-gravity', quantity: 9 },
    // 30 minutes to set up and 20 × 5: all of the 130 minutes of d8.
    { id: 'R4', batchId: 'P1', fillerId: 'line', on: d(8), packId: 'pale-cask', quantity: 20 },
    { id: 'R5', batchId: 'P1', fillerId: 'line', on: d(9), packId: 'pale-gravity', quantity: 5 },
    { id: 'R6', batchId: 'P1', fillerId: 'line', on: d(10), packId: 'pale-keg', quantity: 28 },
    { id: 'R7', batchId: 'P2', fillerId: 'line', on: d(29), packId: 'pale-cask', quantity: 11 },
  ]
}

function deliveries(): Plan['deliveries'] {
  return [
    {
      orderLineId: 'l1',
      routeId: 'van',
      dispatchOn: d(8),
      serveOn: d(11),
      from: [{ fillRunId: 'R1', quantity: 10 }],
    },
    {
      orderLineId: 'l2',
      routeId: 'van',
      dispatchOn: d(10),
      serveOn: d(14),
      from: [{ fillRunId: 'R3', quantity: 9 }],
    },
    { orderLineId: 'l3', routeId: 'van', dispatchOn: d(3), serveOn: d(4), from: [{ fillRunId: 'R2', quantity: 6 }] },
    // The van of d15 is full: (14 + 4) × 40 + 6 × 30 = 900 L. It arrives on d16, on which the site is closed.
    {
      orderLineId: 'l4',
      routeId: 'van',
      dispatchOn: d(15),
      serveOn: d(18),
      from: [{ fillRunId: 'R4', quantity: 14 }],
    },
    {
      orderLineId: 'l5',
      routeId: 'van',
      dispatchOn: d(15),
      serveOn: d(17),
      from: [{ fillRunId: 'R4', quantity: 4 }],
    },
    {
      orderLineId: 'l6',
      routeId: 'van',
      dispatchOn: d(17),
      serveOn: d(21),
      from: [{ fillRunId: 'R5', quantity: 5 }],
    },
    {
      orderLineId: 'l7',
      routeId: 'van',
      dispatchOn: d(15),
      serveOn: d(17),
      from: [{ fillRunId: 'R6', quantity: 6 }],
    },
    {
      orderLineId: 'l7',
      routeId: 'van',
      dispatchOn: d(17),
      serveOn: d(19),
      from: [{ fillRunId: 'R6', quantity: 20 }],
    },
    {
      orderLineId: 'l8',
      routeId: 'van',
      dispatchOn: d(36),
      serveOn: d(39),
      from: [{ fillRunId: 'R7', quantity: 11 }],
    },
    {
      orderLineId: 'l9',
      routeId: 'cart',
      dispatchOn: d(9),
      serveOn: d(10),
      from: [{ stockLotId: 'K1', quantity: 4 }],
    },
  ]
}

function late(): Plan['late'] {
  return [
    { orderLineId: 'l6', reasons: why('B3', 'The gravity casks condition until 17 March.') },
    { orderLineId: 'l7', reasons: why('D1', 'The van is full on 16 March.') },
    { orderLineId: 'l8', reasons: why('T1', 'The batch is ready on 30 March.') },
  ]
}

function cost(): Plan['cost'] {
  return {
    total: 18273.2,
    terms: {
      unservedPromised: 0,
      // l7: 2 × 30 L, l10: 2 × 40 L, both of weight 1: 140 × 20
      unserved: 2800,
      // l8: 440 L × 1 day × 20
      latePromised: 8800,
      // l6: 200 L × 1 day × weight 2; l7: 600 L × 2 days × weight 1: 1600 × 2
      late: 3200,
      // seven set-ups of 10 L; 10 + 12.4 + 20 L dumped; emptied past their best: two of K1 80 L, K2 120 L, K3 60 L,
      // two of R4 80 L: 452.4 × 5
      dumped: 2262,
      // quarantined B3 150 L, P2 475 − 11 × 40.4 − 10 = 20.6 L, two kegs of R6 60 L: 230.6 × 2
      unsold: 461.2,
      // 2 + 1 brews
      brew: 300,
      // R1 to R7 each set up once, of weight 1.5: 7 × 1.5 × 10
      setup: 105,
      // inn on d3, d8, d15, d17, d36; club on d9, d10, d15, d17: 9 × 5
      drop: 45,
      // l1 400 L × 4 days, l2 360 × 3, l4 560 × 4, l5 160 × 4, l6 200 × 1, l7 180 × 3 + 600 × 5, l8 440 × 4,
      // l9 160 × 9 (stock could have been served on d1): 12,500 × 0.02
      standing: 250,
      // P2 is brewed on another day, R9 is gone: 2 × 25
      churn: 50,
    },
  }
}

function why(rule: RuleNumber, words: string): Reason[] {
  return [{ rule, code: 'AS_RECORDED', params: { words } }]
}
