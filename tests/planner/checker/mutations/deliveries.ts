// Changes that break allocations, what is frozen, explanations or the cost (A, F, E, COST) in the base problem's plan.
import { d } from '../../base/base-problem.ts'
import { by, delivery, type Mutation, unserve, why } from './mutation.ts'

export const DELIVERIES: Mutation[] = [
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
    name: 'a broken promise that is not listed',
    change: (plan) => {
      plan.brokenPromises = []
    },
  },
  {
    rule: 'F2',
    name: 'a promise that is kept and listed as broken',
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
  { rule: 'E1', name: 'a late line that is not listed', change: (plan) => plan.late!.splice(0, 1) },
  {
    rule: 'E1',
    name: 'a late line without a reason',
    change: (plan) => {
      plan.late![0]!.reasons = []
    },
  },
  {
    rule: 'E1',
    name: 'a line that is not late and listed as late',
    change: (plan) => plan.late!.push({ orderLineId: 'l1', reasons: why }),
  },
  {
    rule: 'E1',
    name: 'an unserved line that is not listed',
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
