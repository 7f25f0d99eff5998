// Changes that break documents, days and clocks (DOCUMENT, T) or what follows from the serve day (B) in the base problem's plan.
import { d } from '../../base/base-problem.ts'
import { beer, by, delivery, type Mutation, pack, run, why } from './mutation.ts'

export const TIMES: Mutation[] = [
  {
    rule: 'DOCUMENT',
    name: 'two transfers with one id',
    change: (plan) => plan.transfers.push({ ...plan.transfers[0]! }),
    also: ['V6'],
  },
  {
    rule: 'DOCUMENT',
    name: 'a brew under the id of a batch',
    change: (plan) => plan.brews.push({ id: 'B3', beerId: 'pale', vesselId: 'FV2', brewOn: d(15), litres: 500 }),
  },
  {
    rule: 'DOCUMENT',
    name: 'a dump of no batch',
    change: (plan) => plan.dumped.push({ batchId: 'B9', on: d(3), litres: 1 }),
  },
  {
    rule: 'DOCUMENT',
    name: 'dumping of less than nothing',
    change: (plan) => plan.dumped.push({ batchId: 'P2', on: d(30), litres: -1 }),
  },
  {
    rule: 'DOCUMENT',
    name: 'a source that is two things',
    change: (plan) => {
      delivery(plan, 'l9').from[0]!.fillRunId = 'R7'
    },
    also: ['A1', 'A3', 'E1'],
  },
  {
    rule: 'T1',
    name: 'a fill before the crash has ended',
    change: (plan) => {
      run(plan, 'R4').on = d(7)
    },
    also: ['V4'],
  },
  {
    rule: 'T1',
    name: 'a batch that is ready a minute after filling has started',
    change: (_, problem) => {
      by(problem.batches, 'B1').readyAt = '2027-03-02T08:01:00Z'
    },
    also: ['V4'],
  },
  {
    rule: 'T1',
    name: 'stages that are a minute too long',
    change: (_, problem) => {
      beer(problem).restHours += 14 + 1 / 60
    }, // 18:00 + 14 h = 08:00, and a minute
    also: ['V4'],
  },
  {
    rule: 'T2',
    name: 'a brew on a Friday',
    change: (plan) => {
      by(plan.brews, 'P2').brewOn = d(18)
    },
    also: ['V5'],
  },
  { rule: 'T2', name: 'a brew on a closed day', change: (_, problem) => problem.sites[0]!.closedOn!.push(d(21)) },
  { rule: 'T2', name: 'a fill on a closed day', change: (_, problem) => problem.sites[0]!.closedOn!.push(d(29)) },
  {
    rule: 'T2',
    name: 'a fill on a day on which the site fills nothing more',
    change: (_, problem) => {
      problem.sites[0]!.noFillsOn = [d(29)]
    },
  },
  {
    rule: 'T2',
    name: 'a fill on a Sunday',
    change: (plan) => {
      run(plan, 'R7').on = d(34)
    },
    also: ['B3'],
  },
  {
    rule: 'T2',
    name: 'a transfer on a day without filling',
    change: (_, problem) => {
      problem.sites[0]!.fillWeekdays = [1, 2, 4, 5]
    },
  },
  {
    rule: 'T2',
    name: 'a dispatch on a day without route',
    change: (plan) => {
      delivery(plan, 'l2').dispatchOn = d(11)
    },
  },
  {
    rule: 'T2',
    name: 'a dispatch on a day on which the route is closed',
    change: (_, problem) => problem.routes[1]!.closedOn!.push(d(9)),
  },
  {
    rule: 'T2',
    name: 'a dispatch on a day on which the site is closed',
    change: (_, problem) => {
      problem.sites[1]!.closedOn = [d(9)]
    },
  },
  {
    rule: 'T2',
    name: 'an arrival on a day on which the account does not receive',
    change: (_, problem) => {
      problem.accounts[0]!.receivesWeekdays = [1, 3, 4]
    },
  },
  {
    rule: 'T3',
    name: 'a shelf life that leaves out a closed day',
    // Filled on d8, good for 13 days to d21, and needed to d22; between lies the closed d16.
    change: (_, problem) => {
      pack(problem, 'pale-cask').shelfLifeDays = 13
    },
    also: ['B4'],
  },
  {
    rule: 'T3',
    name: 'settling that leaves out a closed day',
    change: (plan) => {
      // Arrival on d9 for d18: nine days, of which 2 to settle and 6 early; between lies the closed d16.
      delivery(plan, 'l1').serveOn = d(18)
      plan.late!.push({ orderLineId: 'l1', reasons: why })
    },
    also: ['B1'],
  },
  {
    rule: 'T4',
    name: 'a transfer of beer that is dumped before it on the same day',
    change: (plan) => {
      plan.dumped[2]!.on = d(9)
    },
    also: ['V6', 'V9', 'V3', 'V5'],
  },
  {
    rule: 'T4',
    name: 'a transfer of beer that is filled before it on the same day',
    change: (plan, problem) => {
      plan.transfers[0]!.litres = 870 + 212
      problem.baseline!.transfers[0]!.litres = 870 + 212
    },
    also: ['V6', 'V9', 'V3', 'V5'],
  },
  {
    rule: 'T5',
    name: 'dumping after the horizon',
    change: (plan) => plan.dumped.push({ batchId: 'B3', on: d(42), litres: 150 }),
  },
  {
    rule: 'T5',
    name: 'a run yesterday',
    change: (plan) => {
      run(plan, 'R3').on = d(-1)
    },
    also: ['T1', 'V4', 'T2'],
  },
  {
    rule: 'T5',
    name: 'a serve day after the horizon',
    change: (plan) => {
      delivery(plan, 'l8').serveOn = d(42)
    },
    also: ['B1', 'F2'],
  },
  {
    rule: 'B1',
    name: 'an arrival that leaves too few days to settle',
    change: (plan) => {
      delivery(plan, 'l4').serveOn = d(17)
    },
  },
  {
    rule: 'B1',
    name: 'an arrival that is too early',
    change: (_, problem) => {
      problem.accounts[1]!.maxEarlyDays = 1 // l2 comes on d11 for d14, with a day to settle: two early
    },
  },
  {
    rule: 'B1',
    name: 'a serve day before the one that was asked for',
    change: (_, problem) => {
      by(problem.orderLines, 'l9').serveOn = d(11)
    },
  },
  {
    rule: 'B1',
    name: 'a serve day after the latest',
    change: (_, problem) => {
      by(problem.orderLines, 'l6').latestServeOn = d(20)
    },
  },
  {
    rule: 'B2',
    name: 'a route that the account does not name',
    change: (_, problem) => {
      problem.accounts[1]!.routeIds = ['van']
    },
  },
  {
    rule: 'B3',
    name: 'a dispatch before conditioning has ended',
    change: (_, problem) => {
      pack(problem, 'pale-keg').conditioningDays = 6
    },
  },
  {
    rule: 'B3',
    name: 'a dispatch of stock that is not fit to leave',
    change: (_, problem) => {
      by(problem.stock, 'K1').readyOn = d(10)
    },
  },
  {
    rule: 'B4',
    name: 'beer that goes off before its days on sale are over',
    change: (_, problem) => {
      problem.accounts[1]!.minDaysOnSale = 16
    },
  },
  {
    rule: 'B6',
    name: 'an order that comes a minute after the cut-off of its route',
    change: (_, problem) => {
      by(problem.routes, 'van').cutOff = { daysBefore: 1, at: '14:30' }
      by(problem.orderLines, 'l1').placedAt = `${d(7)}T14:31:00Z`
    },
  },
  {
    rule: 'B5',
    name: 'an empty window for a reason that is no reason',
    change: (plan) => {
      plan.unserved[1]!.reasons[0]!.rule = 'L1'
    },
  },
  {
    rule: 'B5',
    name: 'a delivery in an empty window',
    change: (plan) => {
      plan.unserved.pop()
      plan.deliveries.push({
        orderLineId: 'l10',
        routeId: 'van',
        dispatchOn: d(1),
        serveOn: d(2),
        from: [{ stockLotId: 'K2', quantity: 2 }],
      })
      plan.late!.push({ orderLineId: 'l10', reasons: why })
    },
    also: ['B1'],
  },
]
