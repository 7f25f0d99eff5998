// The searches of one checkout, in a process of its own:
//   node --import tsx tools/bench/starts/search-starts.ts ROOT WORK.json
// Plans every problem from every seed with the planner of the checkout at ROOT, for a fixed number of steps each, and prints what
// came out as JSON. Nothing here depends on a clock but the processor time, which is reported beside.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { z } from 'zod'
import type { makePlan, parseProblem } from '../../../src/planner/index.ts'
import { foundShape, startsWorkShape } from './work.ts'

const [root, file] = z.tuple([z.string(), z.string()]).parse(process.argv.slice(2))
const callable = <F>() => z.custom<F>((value) => typeof value === 'function')
const planner = z
  .object({ makePlan: callable<typeof makePlan>(), parseProblem: callable<typeof parseProblem>() })
  .parse(await import(pathToFileURL(join(root, 'src/planner/index.ts')).href))

const { problems, seeds } = startsWorkShape.parse(JSON.parse(readFileSync(file, 'utf8')))
const found: z.infer<typeof foundShape> = []
for (const { name, steps, document } of problems) {
  const outcome = planner.parseProblem(document)
  if (!outcome.ok) throw new Error(`this checkout does not read ${name}: ${JSON.stringify(outcome.faults[0])}`)
  for (let seed = 1; seed <= seeds; seed++) {
    const before = process.cpuUsage()
    const { plan, statistics } = planner.makePlan(outcome.problem, { seed, steps })
    const { user, system } = process.cpuUsage(before)
    // An older checkout may not count what was overdrawn.
    const overdrawn: number | undefined = statistics.overdrawn
    found.push({ name, seed, plan, overdrawn, seconds: (user + system) / 1e6 })
  }
}
process.stdout.write(JSON.stringify(foundShape.parse(found)))
