// For each rule number of the planning rules: at least one change that breaks it in the base problem's plan, and which
// other rules the same change cannot but break.
import type { RuleNumber } from '../../../src/planner/checker/check-plan.ts'
import type { Plan, Problem } from '../../../src/planner/problem.ts'
import { d } from '../base/base-problem.ts'

export interface Mutation {
  rule: RuleNumber
  name: string
  /** Breaks the plan, or the problem under it. */
  change(plan: Plan, problem: Problem): void
  /** Rules that break along with it. */
  also?: RuleNumber[]
}

const by = <Item extends { id: string }>(list: Item[], id: string): Item => {
  const found = list.find((item) => item.id === id)
  if (!found) throw new Error(`nothing has the id ${id}`)
  return found
}
const run = (plan: Plan, id: string) => by(plan.fillRuns, id)
const delivery = (plan: Plan, lineId: string, index = 0) =>
  plan.deliveries.filter(({ orderLineId }) => orderLineId === lineId)[index]!
const beer = (problem: Problem) => by(problem.beers, 'pale')
const pack = (problem: Problem, id: string) => by(beer(problem).packs, id)
const vessel = (problem: Problem, id: string) => by(problem.vessels, id)
const why = [{ rule: 'V3', message: 'because' }]

/** Takes a line's deliveries away and states it as unserved. */
function unserve(plan: Plan, lineId: string, quantity: number, rule = 'L1'): void {
  plan.deliveries = plan.deliveries.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.unserved = plan.unserved.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.late = plan.late?.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.unserved.push({ orderLineId: lineId, quantity, reasons: [{ rule, message: 'because' }] })
}

export const MUTATIONS: Mutation[] = [
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
  {
    rule: 'V1',
    name: 'a third brew on a day',
    change: (_, problem) => {
      problem.sites[0]!.brewLitres = 999
    },
  },
  {
    rule: 'V1',
    name: 'two batches that together are too many brews',
    change: (plan, problem) => {
      plan.brews.push({ id: 'P3', beerId: 'dark', vesselId: 'FV2', brewOn: d(21), litres: 1000 })
      problem.sites[0]!.brewsPerDay = 1
      problem.sites[0]!.brewLitres = 2000
    },
  },
  {
    rule: 'V2',
    name: 'a brew above the capacity',
    change: (_, problem) => {
      vessel(problem, 'FV1').capacityLitres = 1999.99
    },
  },
  {
    rule: 'V2',
    name: 'a brew below the smallest fill',
    change: (_, problem) => {
      vessel(problem, 'FV1').minFillLitres = 500.002
    },
  },
  {
    rule: 'V2',
    name: 'a brew in a vessel that its beer does not allow',
    change: (_, problem) => {
      beer(problem).vesselIds = ['FV2']
    },
  },
  {
    rule: 'V2',
    name: 'a brew in a bright vessel',
    change: (plan) => {
      by(plan.brews, 'P2').vesselId = 'BT2'
    },
  },
  {
    rule: 'V3',
    name: 'a brew into a vessel that is not empty',
    change: (plan) => plan.brews.push({ id: 'P3', beerId: 'dark', vesselId: 'FV3', brewOn: d(21), litres: 500 }),
  },
  {
    rule: 'V3',
    name: 'a brew in the turnaround after the batch before',
    change: (_, problem) => {
      vessel(problem, 'FV1').turnaroundDays = 12
    },
  },
  {
    rule: 'V3',
    name: 'a transfer into a vessel that is not available yet',
    change: (_, problem) => {
      vessel(problem, 'BT1').availableFrom = d(10)
    },
  },
  {
    rule: 'V3',
    name: 'a planned batch in a vessel that is out of service',
    change: (_, problem) => {
      vessel(problem, 'BT1').outOfService![0]!.from = d(11)
    },
  },
  {
    rule: 'V3',
    name: 'beer left in a vessel that is out of service at the end of the horizon',
    change: (_, problem) => {
      vessel(problem, 'FV1').outOfService = [{ from: d(41), to: d(60) }]
    },
  },
  {
    rule: 'V4',
    name: 'casks drawn after the transfer',
    change: (plan) => {
      run(plan, 'R5').on = d(10)
    },
  },
  {
    rule: 'V4',
    name: 'kegs drawn before the bright days are over',
    change: (_, problem) => {
      beer(problem).brightDays = 2
    },
  },
  {
    rule: 'V4',
    name: 'kegs drawn from a fermenter',
    change: (plan) => {
      run(plan, 'R7').packId = 'pale-keg'
    },
    also: ['A1'],
  },
  {
    rule: 'V4',
    name: 'casks drawn from a bright vessel',
    change: (_, problem) => {
      pack(problem, 'pale-keg').drawFrom = 'FERMENTER'
    },
    also: ['V3', 'V5', 'V6', 'V9'],
  },
  {
    rule: 'V4',
    name: 'a pack of another beer',
    change: (plan) => {
      run(plan, 'R7').packId = 'dark-cask'
    },
    also: ['A1'],
  },
  {
    rule: 'V4',
    name: 'a transfer before the ready day',
    change: (_, problem) => {
      beer(problem).crashHours += 48
    },
    also: ['T1'],
  },
  {
    rule: 'V5',
    name: 'a fermenter that is emptied too late',
    change: (_, problem) => {
      beer(problem).maxTankDays = 12
    },
  },
  {
    rule: 'V5',
    name: 'a bright vessel that is emptied too late',
    change: (_, problem) => {
      beer(problem).maxBrightDays = 0
    },
  },
  {
    rule: 'V5',
    name: 'an overdue batch that is not emptied on the first fill day',
    change: (_, problem) => {
      by(problem.batches, 'B2').transferredOn = d(-20)
    },
  },
  {
    rule: 'V6',
    name: 'a transfer that leaves beer behind',
    change: (plan, problem) => {
      plan.transfers[0]!.litres = 860
      problem.baseline!.transfers[0]!.litres = 860
      plan.dumped[2]!.litres = 10
    },
  },
  {
    rule: 'V6',
    name: 'a transfer below the smallest fill',
    change: (_, problem) => {
      vessel(problem, 'BT1').minFillLitres = 871
    },
  },
  {
    rule: 'V6',
    name: 'a transfer above the capacity',
    change: (_, problem) => {
      vessel(problem, 'BT1').capacityLitres = 869
    },
  },
  {
    rule: 'V6',
    name: 'a second transfer',
    change: (plan) => plan.transfers.push({ id: 'T2', batchId: 'P1', toVesselId: 'BT2', on: d(10), litres: 870 }),
  },
  {
    rule: 'V6',
    name: 'a transfer into a fermenter',
    change: (_, problem) => {
      vessel(problem, 'BT1').kind = 'FERMENTER'
    },
  },
  {
    rule: 'V6',
    name: 'a transfer to another site',
    change: (_, problem) => {
      vessel(problem, 'BT1').siteId = 'coast'
    },
  },
  {
    rule: 'V7',
    name: 'priming after the window',
    change: (_, problem) => {
      pack(problem, 'pale-gravity').primingWindowDays = 0
    },
  },
  {
    rule: 'V7',
    name: 'priming a batch without live yeast',
    change: (_, problem) => {
      by(problem.batches, 'B1').primable = false
    },
  },
  {
    rule: 'V8',
    name: 'a draw from a quarantined batch',
    change: (_, problem) => {
      by(problem.batches, 'B1').quarantined = true
    },
  },
  {
    rule: 'V9',
    name: 'more dumped than there is',
    change: (plan) => {
      plan.dumped[1]!.litres = 12.402
    },
    also: ['L2'],
  },
  {
    rule: 'V9',
    name: 'dumping before the brew',
    change: (plan) => plan.dumped.push({ batchId: 'P2', on: d(20), litres: 5 }),
  },
  {
    rule: 'V10',
    name: 'a vessel that stays open too long',
    change: (_, problem) => {
      beer(problem).maxOpenDays = 3
    },
  },
  {
    rule: 'L1',
    name: 'a minute too much',
    change: (_, problem) => {
      problem.fillers[0]!.minutesOn![d(8)] = 129
    },
  },
  {
    rule: 'L1',
    name: 'a container that the filler cannot fill',
    change: (_, problem) => delete problem.fillers[0]!.minutesEach.keg,
  },
  {
    rule: 'L1',
    name: 'a filler of another site',
    change: (_, problem) => {
      problem.fillers[0]!.siteId = 'coast'
    },
  },
  {
    rule: 'L1',
    name: 'a second set-up for kegs on the day of casks',
    change: (_, problem) => {
      problem.fillers[0]!.minutesOn![d(1)] = 127
    },
  },
  {
    rule: 'L2',
    name: 'a batch drawn as if containers took their nominal litres',
    change: (plan) => {
      plan.dumped[1]!.litres += 19 * 0.4
    },
    also: ['V9'],
  },
  {
    rule: 'L3',
    name: 'two runs that are one',
    change: (plan) => {
      run(plan, 'R7').quantity = 6
      plan.fillRuns.push({ ...run(plan, 'R7'), id: 'R8', quantity: 5 })
      delivery(plan, 'l8').from = [
        { fillRunId: 'R7', quantity: 6 },
        { fillRunId: 'R8', quantity: 5 },
      ]
    },
  },
  {
    rule: 'L3',
    name: 'half a cask',
    change: (plan) => {
      run(plan, 'R4').quantity = 19.5
    },
    also: ['V6'],
  },
  {
    rule: 'C1',
    name: 'a cask too few',
    change: (_, problem) => {
      problem.fleets[0]!.cleanNow = 18
    },
  },
  {
    rule: 'C1',
    name: 'casks that come back a day too late',
    change: (_, problem) => {
      problem.fleets[0]!.washDays = 4
    },
  },
  {
    rule: 'C1',
    name: 'casks that are back but counted already',
    change: (_, problem) => {
      problem.fleets[0]!.cleanNow = 18
      problem.fleets[0]!.returns!.push({ on: d(-2), quantity: 5 })
    },
  },
  {
    rule: 'S1',
    name: 'a warm store that is too small by a pint',
    change: (_, problem) => {
      problem.stores[0]!.capacityLitres = 1159.5
    },
  },
  {
    rule: 'S1',
    name: 'a cold store that is too small by a pint',
    change: (_, problem) => {
      problem.stores[1]!.capacityLitres = 1759.5
    },
  },
  {
    rule: 'S1',
    name: 'fills into a store that is over-full with stock',
    change: (_, problem) => {
      by(problem.stock, 'K2').quantity = 45
    },
  },
  {
    rule: 'S2',
    name: 'a dispatch of stock that was emptied',
    change: (_, problem) => {
      by(problem.stock, 'K1').bestBefore = d(8)
    },
    also: ['B4'],
  },
  {
    rule: 'D1',
    name: 'a van that is too full',
    change: (_, problem) => {
      problem.routes[0]!.capacityLitres = 899.9
    },
  },
  {
    rule: 'A1',
    name: 'containers of another pack',
    change: (_, problem) => {
      by(problem.orderLines, 'l2').packId = 'pale-cask'
    },
  },
  {
    rule: 'A1',
    name: 'stock of another site',
    change: (_, problem) => {
      by(problem.stock, 'K1').siteId = 'hill'
    },
    also: ['S1'],
  },
  {
    rule: 'A1',
    name: 'a delivery from nothing',
    change: (plan) => {
      delivery(plan, 'l7', 1).from = []
    },
    also: ['A3'],
  },
  {
    rule: 'A2',
    name: 'a run that gives more than it has',
    change: (plan) => {
      delivery(plan, 'l5').from[0]!.fillRunId = 'R1'
    },
    also: ['S1'],
  },
  {
    rule: 'A2',
    name: 'a lot that gives more than it has',
    change: (_, problem) => {
      by(problem.stock, 'K1').quantity = 3
    },
  },
  {
    rule: 'A3',
    name: 'a line that is served in part',
    change: (_, problem) => {
      by(problem.orderLines, 'l7').splittable = false
    },
  },
  {
    rule: 'A3',
    name: 'three deliveries of a splittable line',
    change: (plan) => {
      delivery(plan, 'l7', 1).from[0]!.quantity = 10
      plan.deliveries.push({ ...delivery(plan, 'l7', 1) })
    },
  },
  {
    rule: 'A3',
    name: 'a line of which more is delivered than was ordered',
    change: (_, problem) => {
      by(problem.orderLines, 'l4').quantity = 13
    },
  },
  {
    rule: 'A3',
    name: 'an unserved quantity that is not the rest',
    change: (plan) => {
      plan.unserved[0]!.quantity = 1
    },
  },
  {
    rule: 'F1',
    name: 'a frozen run of another quantity',
    change: (_, problem) => {
      by(problem.baseline!.fillRuns, 'R1').quantity = 11
    },
  },
  {
    rule: 'F1',
    name: 'a frozen brew of another volume',
    change: (_, problem) => {
      problem.baseline!.brews[0]!.litres = 1900
    },
  },
  {
    rule: 'F1',
    name: 'a fixed transfer that is fixed no more',
    change: (plan) => delete plan.transfers[0]!.fixed,
  },
  {
    rule: 'F1',
    name: 'a fixed brew on another day',
    change: (_, problem) => {
      problem.baseline!.brews[1]!.fixed = true
    },
  },
  {
    rule: 'F1',
    name: 'a run added in the frozen days',
    change: (_, problem) => problem.baseline!.fillRuns.splice(1, 1),
  },
  {
    rule: 'F1',
    name: 'a run drawn forward into the frozen days',
    change: (_, problem) => {
      by(problem.baseline!.fillRuns, 'R1').on = d(5)
    },
  },
  {
    rule: 'F1',
    name: 'a moved decision without a reason',
    change: (plan) => {
      plan.moved = [{ kind: 'BREW', id: 'P2', reasons: [] }]
    },
  },
  {
    rule: 'F1',
    name: 'a decision that is said to have moved and has not',
    change: (plan) => {
      plan.moved = [{ kind: 'FILL_RUN', id: 'R1', reasons: why }]
    },
  },
  {
    rule: 'F2',
    name: 'a broken promise that is not told',
    change: (plan) => {
      plan.brokenPromises = []
    },
  },
  {
    rule: 'F2',
    name: 'a promise that is kept and told as broken',
    change: (plan) =>
      void plan.brokenPromises!.push({ orderLineId: 'l5', promisedOn: d(17), now: d(17), reasons: why }),
  },
  {
    rule: 'F2',
    name: 'a new day that is not the new day',
    change: (plan) => {
      plan.brokenPromises![0]!.now = d(40)
    },
  },
  {
    rule: 'F2',
    name: 'a promise that was another',
    change: (plan) => {
      plan.brokenPromises![0]!.promisedOn = d(37)
    },
  },
  { rule: 'F2', name: 'a new day for a promised line that is not served', change: (plan) => unserve(plan, 'l8', 11) },
  { rule: 'E1', name: 'a late line that is not told', change: (plan) => plan.late!.splice(0, 1) },
  {
    rule: 'E1',
    name: 'a late line without a reason',
    change: (plan) => {
      plan.late![0]!.reasons = []
    },
  },
  {
    rule: 'E1',
    name: 'a line that is not late and told as late',
    change: (plan) => plan.late!.push({ orderLineId: 'l1', reasons: why }),
  },
  {
    rule: 'E1',
    name: 'an unserved line that is not told',
    change: (plan) => plan.unserved.splice(1, 1),
    also: ['A3'],
  },
  {
    rule: 'E1',
    name: 'an unserved line without a reason',
    change: (plan) => {
      plan.unserved[0]!.reasons = []
    },
  },
  {
    rule: 'COST',
    name: 'a total that is a penny and a half off',
    change: (plan) => {
      plan.cost.total += 0.035
    },
  },
  {
    rule: 'COST',
    name: 'a term that is off',
    change: (plan) => {
      plan.cost.terms.churn = 25
    },
  },
]
