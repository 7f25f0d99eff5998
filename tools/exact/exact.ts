// npm run exact -- problem.json [--out plan.json] [--seconds S] [--gap G]: the exact optimum of a small problem, by a
// general-purpose solver and without the planner's search. The plan on stdout or in the file; what was proved on stderr.
import { writeFileSync } from 'node:fs'
import { numberOption, readArguments } from '../../src/command-line/arguments.ts'
import { type Command, runAsProgram } from '../../src/command-line/command.ts'
import { readProblem } from '../../src/command-line/documents.ts'
import { solveExactly } from '../../src/solver/solve-exactly.ts'

const USAGE = 'Usage: npm run exact -- problem.json [--out plan.json] [--seconds S] [--gap G]'

const exact: Command = async (words, { out, error }) => {
  const { files, option } = readArguments(words, USAGE, 1, ['out', 'seconds', 'gap'])
  const problem = readProblem(files[0] ?? '')
  const timeLimitSeconds = numberOption('seconds', option('seconds'), { least: 0 }) ?? 60
  const gap = numberOption('gap', option('gap'), { least: 0 }) ?? 1e-6
  const { status, cost, bound, plan } = await solveExactly(problem, { timeLimitSeconds, gap })
  if (status === 'HELD') {
    error(
      'HELD: what is frozen or fixed of the plan in force cannot all stay, and the exact model knows no other plan\n',
    )
    return 1
  }
  error(`${status}: cost ${cost.toFixed(2)}, no plan costs less than ${bound.toFixed(2)}\n`)
  if (!plan) return 1
  const text = `${JSON.stringify(plan, null, 2)}\n`
  const file = option('out')
  if (file === undefined) out(text)
  else writeFileSync(file, text)
  return 0
}

await runAsProgram(import.meta.url, exact)
