// What is searched from several starts: problems with the best cost that is known of each, and how many steps and seeds.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { smallProblem } from '../../../seeds/small-problem.ts'
import { publishedFolder } from '../../benchmarks/published.ts'
import { leaveOutDefaults } from '../against/leave-out-defaults.ts'
import bestKnown from './best-known.json' with { type: 'json' }

export const startsWorkShape = z.object({
  seeds: z.int(),
  problems: z.array(z.object({ name: z.string(), steps: z.int(), best: z.number(), document: z.unknown() })),
})
export type StartsWork = z.infer<typeof startsWorkShape>

/** What the search found of a problem from a seed. */
export const foundShape = z.array(
  z.object({
    name: z.string(),
    seed: z.int(),
    plan: z.unknown(),
    /** Cheaper plans that were dropped for a fleet or a store; absent where the checkout does not count them. */
    overdrawn: z.number().optional(),
    seconds: z.number(),
  }),
)
export type Found = z.infer<typeof foundShape>

/** The hard problems by their names in the folder of the instances, each beside a plan of proven minimal cost. */
const HARD = ['s01', 's12', 's17', 's21']
const costShape = z.object({ cost: z.object({ total: z.number() }) })

/** Steps of one search of a small problem: so few that luck still shows. */
const SMALL_STEPS = 6000

/** All problems, and whether the hard ones are among them: they stand in a folder that is not part of the project. */
export function startsWork(quick: boolean, folder: string | undefined): { work: StartsWork; hard: boolean } {
  const hard = hardProblems(folder)
  const all = [...hard, ...generated()]
  const problems = quick ? all.slice(0, 2).map((each) => ({ ...each, steps: 100 })) : all
  return { work: { seeds: quick ? 2 : 12, problems }, hard: hard.length > 0 }
}

/** The hard problems, where the folder of the instances is named. */
export function hardProblems(named: string | undefined): StartsWork['problems'] {
  const folder = publishedFolder(named)
  if (folder === undefined) return []
  const read = (name: string): unknown => JSON.parse(readFileSync(join(folder, 'hard-small', `${name}.json`), 'utf8'))
  return HARD.filter((name) => existsSync(join(folder, 'hard-small', `${name}.problem.json`))).map((name) => ({
    name,
    steps: SMALL_STEPS,
    best: costShape.parse(read(`${name}.plan`)).cost.total,
    document: read(`${name}.problem`),
  }))
}

/** Those of which the best cost is known that luck decides. */
const LUCKY = [
  ...['small 1', 'small 3', 'small 5', 'small 9', 'small 10', 'small 16', 'small 19', 'small 20', 'small 23'],
  ...['small 24', 'small 26', 'tight 1', 'easy 2'],
]

/** Generated problems, named by their kind and seed. */
function generated(): StartsWork['problems'] {
  const known = Object.entries(bestKnown).filter(([name]) => LUCKY.includes(name))
  return known.map(([name, best]) => {
    const [kind, number] = name.split(' ')
    const seed = Number(number)
    if (kind === 'small') return { name, steps: SMALL_STEPS, best, document: leaveOutDefaults(smallProblem(seed)) }
    const tightness = kind === 'tight' ? 0.95 : 0.6
    const problem = sizedProblem({ lines: 60, vessels: 6, days: 40, seed, tightness })
    return { name, steps: 2000, best, document: leaveOutDefaults(problem) }
  })
}
