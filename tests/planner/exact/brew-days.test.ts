// The days on which the exact model brews: of those that are as good as each other, the last.
import { expect, it } from 'vitest'
import { readInstance } from '../../../src/planner/bound/instance.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { brewDaysOf } from '../../../src/planner/exact/brew-days.ts'
import { EMPTY_PLAN } from '../../support/empty-plan.ts'
import { day, oneVesselBrewery } from '../../support/one-vessel-brewery.ts'

/** Day 0 is a Monday; a brew is ready on the fifth day after its own. Filled on Mondays: days 7 and 14. */
function filledOnMondays(change: (problem: Problem) => void = () => undefined): number[] {
  const problem = oneVesselBrewery({ horizonDays: 16 })
  problem.sites[0]!.fillWeekdays = [1]
  change(problem)
  return brewDaysOf(readInstance(problem), 'yard', problem.beers[0]!)
}

/** The days that are left of the first ten; what is ready after the last fill day is of no matter. */
const ofFirstTen = (days: readonly number[]) => days.filter((one) => one < 10)

it('a brew begins on the last day on which it is ready by the same fill day', () => {
  expect(ofFirstTen(filledOnMondays())).toEqual([2, 9])
})

it('where the brewhouse may be full on the next day, a brew may begin before it', () => {
  const short = filledOnMondays((problem) => {
    problem.sites[0]!.brewsOn = { [day(2)]: 1 } // a full vessel takes two brews
  })
  expect(ofFirstTen(short)).toEqual([1, 2, 9])
})

it('with a plan in force a brew may begin on any day, for on another it would be another decision', () => {
  const all = filledOnMondays((problem) => {
    problem.baseline = EMPTY_PLAN
  })
  expect(ofFirstTen(all)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9])
})
