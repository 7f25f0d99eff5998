// Changes that break what holds of vessels and batches (V) in the base problem's plan.
import { d } from '../../base/base-problem.ts'
import { beer, by, type Mutation, pack, run, vessel } from './mutation.ts'

export const VESSELS: Mutation[] = [
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
    rule: 'V1',
    name: 'more brews than a day has left for them',
    change: (_, problem) => {
      problem.sites[0]!.brewsOn = { [d(0)]: 1 }
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
    rule: 'V8',
    name: 'a delivery from a quarantined lot',
    change: (_, problem) => {
      by(problem.stock, 'K1').quarantined = true
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
    rule: 'V11',
    name: 'a transfer more than the site starts on a day',
    change: (_, problem) => {
      problem.sites[0]!.transfersPerDay = 0
    },
  },
  {
    rule: 'V11',
    name: 'a transfer on a day that has none left',
    change: (_, problem) => {
      problem.sites[0]!.transfersOn = { [d(9)]: 0 }
    },
  },
]
