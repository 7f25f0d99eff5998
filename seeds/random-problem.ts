// Random problems of every kind that the planning rules know, for property tests: valid input, the same for each seed.
import type { Problem } from '../src/planner/documents/index.ts'
import { assemble, someDay } from './generator/assemble.ts'
import { kindOf, PROBLEM_KINDS, type ProblemKind } from './generator/kinds.ts'
import { PLAIN_SPEC, type ProblemSpec } from './generator/spec.ts'
import { type Random, randomFrom } from './random.ts'

export { PROBLEM_KINDS, type ProblemKind } from './generator/kinds.ts'

/**
 * The random problem of a seed. Without a kind the seed chooses it.
 * Sizes: two in five 1 to 5 lines, one in three 6 to 15, one in five up to 60, one in twenty up to 200.
 */
export function randomProblem(seed: number, kind?: ProblemKind): Problem {
  const random = randomFrom(seed)
  const chosen = kind ?? kindOfSeed(Math.abs(seed))
  const { spec: change, twists } = kindOf(chosen)
  const plain = { ...PLAIN_SPEC, ...sizeOf(random.fork('size')), today: someDay(random.fork('today')) }
  const spec = { ...plain, ...change?.(plain, random.fork('kind')) }
  let problem = assemble(spec, random.fork('parts').int(0, 2 ** 31 - 1))
  for (const [index, twist] of (twists ?? []).entries()) problem = twist(problem, random.fork(`twist ${index}`))
  return problem
}

/** Seeds go round through so many kinds, so that a kind that is added leaves nearly all seeds as they are. */
const ROUND = 28

/** The kind of a seed: the first kinds in turn; in every other round, kinds that were added later take turns in the place of PLAIN. */
function kindOfSeed(seed: number): ProblemKind {
  const round = Math.floor(seed / ROUND)
  const chosen = PROBLEM_KINDS[seed % ROUND]!
  const later = PROBLEM_KINDS.slice(ROUND)
  const turn = chosen === 'PLAIN' && round % 2 === 1 ? later[((round - 1) / 2) % later.length] : undefined
  return turn ?? chosen
}

function sizeOf(random: Random): Partial<ProblemSpec> {
  const [lines, vessels, days, beers] = random.weighted(SIZES, (size) => size.share).ranges
  const horizonDays = random.int(...days)
  return {
    lineCount: random.int(...lines),
    vesselCount: random.int(...vessels),
    horizonDays,
    beerCount: random.int(...beers),
    largestLine: random.pick([4, 8, 12]),
    pace: horizonDays < 21 || random.chance(0.4) ? 'QUICK' : 'USUAL',
    tightness: { tanks: random.between(0.6, 1.2) },
    standingShare: random.between(0.2, 1),
    stockDays: random.int(0, 4),
    brightShare: random.pick([0, 0.3]),
    primedShare: random.pick([0, 0.3]),
    returnShare: random.pick([0, 0.5]),
  }
}

type Range = readonly [number, number]
/** Ranges of lines, vessels, days and beers, and how many problems are of that size. */
const SIZES: readonly { share: number; ranges: readonly [Range, Range, Range, Range] }[] = [
  {
    share: 0.4,
    ranges: [
      [1, 5],
      [1, 2],
      [10, 14],
      [1, 2],
    ],
  },
  {
    share: 0.35,
    ranges: [
      [6, 15],
      [2, 4],
      [14, 28],
      [2, 3],
    ],
  },
  {
    share: 0.2,
    ranges: [
      [16, 60],
      [3, 8],
      [21, 42],
      [2, 5],
    ],
  },
  {
    share: 0.05,
    ranges: [
      [61, 200],
      [6, 16],
      [35, 63],
      [4, 8],
    ],
  },
]
