// One round of one checkout, in a process of its own:
//   node --import tsx tools/bench/against/measure.ts ROOT PROBLEMS.json
// Plans the given problems with the planner of the checkout at ROOT and prints processor seconds by kind of work as JSON. Loading
// the planner, parsing and the first call of each kind are not counted: they are the compiler's work more than the planner's.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { z } from 'zod'
import type { makePlan, openTrial, parseProblem } from '../../../src/planner/index.ts'
import { workShape } from './work.ts'

const [root, file] = z.tuple([z.string(), z.string()]).parse(process.argv.slice(2))
const callable = <F>() => z.custom<F>((value) => typeof value === 'function')
const planner = z
  .object({
    makePlan: callable<typeof makePlan>(),
    openTrial: callable<typeof openTrial>(),
    parseProblem: callable<typeof parseProblem>(),
  })
  .parse(await import(pathToFileURL(join(root, 'src/planner/index.ts')).href))

const work = workShape.parse(JSON.parse(readFileSync(file, 'utf8')))
const parsed = (document: unknown) => {
  const outcome = planner.parseProblem(document)
  if (!outcome.ok) throw new Error(`this checkout does not read the problem: ${JSON.stringify(outcome.faults[0])}`)
  return outcome.problem
}
const warm = parsed(work.warmUp)
// One plan stays open, as at a server. Without any, a collection of garbage takes the shapes of a plan's objects along, and all
// code that was compiled for them: which of the two checkouts that hits, and when, is chance.
export const open = planner.openTrial(warm, planner.makePlan(warm, { steps: 300 }).plan)

const searched = work.searched.map(parsed)
const large = parsed(work.large)
const steps = seconds(() => {
  for (const problem of searched) planner.makePlan(problem, { steps: work.steps })
})
const { plan } = planner.makePlan(large, { steps: 0 })
const first = seconds(() => {
  for (let round = 0; round < 3; round++) planner.makePlan(large, { steps: 0 })
})
const trial = planner.openTrial(large, plan)
const asks = large.orderLines.slice(0, work.asks).map((line, index) => {
  const { promisedOn: _, ...rest } = line
  return { ...rest, id: `ask-${index}`, orderId: `ask-${index}` }
})
const promise = () => {
  for (const ask of asks) trial.promise([ask], { unexplained: true })
}
promise()
const placements = seconds(() => {
  for (let round = 0; round < 5; round++) promise()
})
process.stdout.write(`${JSON.stringify({ steps, first, placements })}\n`)

/** Processor seconds, user and system, of all threads of this process. */
function seconds(run: () => void): number {
  const before = process.cpuUsage()
  run()
  const { user, system } = process.cpuUsage(before)
  return (user + system) / 1e6
}
