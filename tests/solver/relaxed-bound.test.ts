// Bounds that need the solver: what it reports on its way counts, also where it is cut off before its end.
import { expect, test } from 'vitest'
import { smallProblem } from '../../seeds/small-problem.ts'
import { type Bound, beersAlone, instantBound, wholePart } from '../../src/planner/index.ts'
import { boundByBeer, relaxedBound } from '../../src/solver/relaxed-bound.ts'
import type { SolveOptions } from '../../src/solver/solve-linear.ts'

const whole = wholePart(smallProblem(7))
const known = instantBound(whole)

/** A solver that is stopped by time after it has reported these bounds, with nothing more to say. */
function cutOff(...reported: number[]) {
  return {
    solve: async (_model: unknown, { onBound }: SolveOptions) => {
      for (const value of reported) onBound?.(value)
      return { status: 'LIMIT' as const, bound: Number.NEGATIVE_INFINITY }
    },
  }
}

test('of bounds that are reported on the way those are heard that are better than what is known', async () => {
  const heard: Bound[] = []
  const solver = cutOff(known.value / 2, known.value + 100, Number.NEGATIVE_INFINITY)
  const onBound = (bound: Bound) => heard.push(bound)
  const last = await relaxedBound(whole, { seconds: 1, wholeBrews: true, known, solver, onBound })
  expect(heard.map(({ kind }) => kind)).toEqual(['AGGREGATED_WHOLE_BREWS'])
  // A hair less, for what the solver's tolerances may have added.
  expect(heard[0]?.value).toBeLessThan(known.value + 100)
  expect(heard[0]?.value).toBeGreaterThan(known.value + 99)
  expect(last).toEqual(known)
})

test('what is reported of a beer counts, also where its solve is cut off', async () => {
  const beers = beersAlone(whole)
  const more = 1000
  const solver = cutOff(more + Math.max(...beers.map((beer) => beer.known.cost)))
  const heard: Bound[] = []
  const onBound = (bound: Bound) => heard.push(bound)
  const last = await boundByBeer(beers, { seconds: 60, before: known, solver, onBound })
  expect(last.kind).toBe('PER_BEER')
  expect(last.value).toBeGreaterThan(more)
  expect(heard).toContainEqual(last)
})
