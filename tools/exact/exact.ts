// npm run exact -- problem.json [--out plan.json] [--seconds S] [--gap G]: the exact optimum of a small problem, by a
// general-purpose solver and without the planner's search. The plan on stdout or in the file; what was proved on stderr.
import { writeFileSync } from 'node:fs'
import { numberOption, readArguments } from '../../src/command-line/arguments.ts'
import { readProblem, refuse } from '../../src/command-line/documents.ts'
import { solveExactly } from './solve-exactly.ts'

const usage = 'Usage: npm run exact -- problem.json [--out plan.json] [--seconds S] [--gap G]'
const { files, option } = readArguments(usage, 1, ['out', 'seconds', 'gap'])
const problem = readProblem(files[0] ?? '')
if (problem.baseline) refuse('The exact model knows no baseline: leave it out of the problem.')
const timeLimitSeconds = numberOption('seconds', option('seconds'), { least: 0 }) ?? 60
const gap = numberOption('gap', option('gap'), { least: 0 }) ?? 1e-6
const { status, cost, bound, plan } = await solveExactly(problem, { timeLimitSeconds, gap })
process.stderr.write(`${status}: cost ${cost.toFixed(2)}, no plan costs less than ${bound.toFixed(2)}\n`)
if (plan) {
  const text = `${JSON.stringify(plan, null, 2)}\n`
  const out = option('out')
  if (out === undefined) process.stdout.write(text)
  else writeFileSync(out, text)
}
process.exitCode = plan ? 0 : 1
