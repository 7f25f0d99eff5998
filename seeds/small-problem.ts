// Tiny and small problems, tight enough to be interesting, for comparison with a general-purpose solver.
import type { Problem } from '../src/planner/documents/index.ts'
import { assemble, someDay } from './generator/assemble.ts'
import { PLAIN_SPEC } from './generator/spec.ts'
import { randomFrom } from './random.ts'

/** A problem of 2 to 5 lines, 1 to 2 vessels and 10 to 14 days at one site. */
export function tinyProblem(seed: number): Problem {
  const random = randomFrom(seed).fork('tiny')
  return assemble(
    {
      ...PLAIN_SPEC,
      today: someDay(random),
      horizonDays: random.int(10, 14),
      vesselCount: random.int(1, 2),
      beerCount: random.int(1, 2),
      lineCount: random.int(2, 5),
      largestLine: 4,
      pace: 'QUICK',
      tightness: {
        tanks: random.between(0.7, 1.1),
        ...(random.chance(0.4) ? { filler: 1 } : {}),
        ...(random.chance(0.4) ? { fleet: 1 } : {}),
      },
      standingShare: random.pick([0, 0.5, 1]),
      stockDays: random.int(0, 3),
      priorityShare: 0.5,
      promisedShare: 0.2,
    },
    random.int(0, 2 ** 31 - 1),
  )
}

/** A problem of 6 to 15 lines, 2 to 4 vessels and 14 to 28 days at one site, in which tanks, fillers or fleets are short. */
export function smallProblem(seed: number): Problem {
  const random = randomFrom(seed).fork('small')
  const tight = () => random.between(0.9, 1.2)
  const bright = random.chance(0.3)
  return assemble(
    {
      ...PLAIN_SPEC,
      today: someDay(random),
      horizonDays: random.int(14, 28),
      vesselCount: random.int(bright ? 3 : 2, 4),
      beerCount: random.int(2, 3),
      lineCount: random.int(6, 15),
      largestLine: random.pick([4, 6, 8]),
      pace: 'QUICK',
      tightness: {
        tanks: tight(),
        ...(random.chance(0.6) ? { filler: tight() } : {}),
        ...(random.chance(0.5) ? { fleet: tight() } : {}),
        ...(random.chance(0.3) ? { store: tight() } : {}),
        ...(random.chance(0.3) ? { route: tight() } : {}),
        ...(random.chance(0.3) ? { brewhouse: tight() } : {}),
      },
      brightShare: bright ? 0.6 : 0,
      primedShare: random.pick([0, 0.4]),
      standingShare: random.pick([0.4, 0.7, 1]),
      stockDays: random.int(0, 4),
      splittableShare: random.pick([0, 0.2]),
      promisedShare: 0.2,
      priorityShare: 0.5,
      accountRulesShare: 0.2,
      returnShare: 0.5,
    },
    random.int(0, 2 ** 31 - 1),
  )
}
