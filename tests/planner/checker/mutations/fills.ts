// Changes that break what holds of fillers, containers, stores and routes (L, C, S, D) in the base problem's plan.
import { d } from '../../base/base-problem.ts'
import { by, delivery, type Mutation, run, vessel } from './mutation.ts'

export const FILLS: Mutation[] = [
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
    rule: 'D1',
    name: 'a van that has less left of a day',
    change: (_, problem) => {
      problem.routes[0]!.capacityLitresOn = { [d(8)]: 399.9 }
    },
  },
  {
    rule: 'L4',
    name: 'a filler that has no time to be washed for another group of beers',
    change: (plan, problem) => {
      problem.vessels.push({ ...vessel(problem, 'FV3'), id: 'FV4' })
      const standing = { primable: true, quarantined: false, readyAt: `${d(28)}T06:00:00Z` }
      problem.batches.push({ id: 'B4', beerId: 'dark', vesselId: 'FV4', litres: 200, ...standing })
      plan.fillRuns.push({ id: 'R8', batchId: 'B4', fillerId: 'line', on: d(29), packId: 'dark-cask', quantity: 1 })
      by(problem.beers, 'dark').washGroup = 'stouts'
      // 30 and 11 × 5 for the pale, 5 for the dark: 90 of 240.
      problem.fillers[0]!.washMinutes = 151
    },
  },
]
