// npm run bench -- [part …] [--quick] [--folder F] [--days N] [--setting S] [--brewery B] [--list] [--against COMMIT]: the figures that the documents quote, one table
// for each part. Without a part all of them run, one after the other. Exit code 1 where a plan breaks a rule, 2 for a part that
// there is not. With --against the planner's processor time is compared with that of another commit instead; or, where the one part
// is named that compares plans (starts), its plans are.
import { cpus, loadavg } from 'node:os'
import { parseArgs } from 'node:util'
import { compareWith } from './against/against.ts'
import { optionsOf, type PartOptions } from './options.ts'
import { Report } from './part.ts'
import { starts } from './parts/starts.ts'
import { PARTS } from './parts.ts'

const USAGE = `Usage: npm run bench -- [part …] [--quick] [--folder F] [--days N] [--setting assumed|due] [--brewery demo|small] [--list] [--against COMMIT]\nParts: ${PARTS.map(({ name }) => name).join(', ')}`
const { names, quick, list, against, options } = readArguments()

if (against !== undefined && !names.includes(starts.name)) {
  print(compareWith(against, quick, (round, of) => process.stderr.write(`round ${round} of ${of}\n`)))
} else if (list) {
  for (const { name, about } of PARTS) print(`${name}: ${about}\n`)
} else {
  const chosen = names.length === 0 ? PARTS : PARTS.filter(({ name }) => names.includes(name))
  print(`Node ${process.versions.node}, ${cpus().length} × ${cpus()[0]?.model ?? 'processor'}`)
  print(`, load ${loadavg()[0]!.toFixed(1)} before\n`)
  for (const part of chosen) await runPart(part)
}

async function runPart(part: (typeof PARTS)[number]): Promise<void> {
  print(`\n## ${part.name}${quick ? ' (quick: not to be quoted)' : ''}\n${part.about}\n`)
  const report = new Report(quick, print, options)
  const started = performance.now()
  try {
    await part.run(report)
  } catch (error) {
    report.fault(error instanceof Error ? (error.stack ?? error.message) : String(error))
  }
  for (const fault of report.faults) print(`FAULT ${fault}\n`)
  const verdict = report.faults.length === 0 ? 'all valid' : `${report.faults.length} faults: the part FAILS`
  print(`${report.plans} plans checked, ${verdict}; ${report.missed} goals missed; `)
  print(`${((performance.now() - started) / 1000).toFixed(0)} s\n`)
  if (report.faults.length > 0) process.exitCode = 1
}

function print(text: string): void {
  process.stdout.write(text)
}

interface Arguments {
  names: string[]
  quick: boolean
  list: boolean
  options: PartOptions
  against: string | undefined
}

function readArguments(): Arguments {
  try {
    const { positionals, values } = parseArgs({
      allowPositionals: true,
      options: {
        quick: { type: 'boolean', default: false },
        list: { type: 'boolean', default: false },
        folder: { type: 'string' },
        days: { type: 'string' },
        setting: { type: 'string' },
        brewery: { type: 'string' },
        against: { type: 'string' },
      },
    })
    const unknown = positionals.filter((name) => PARTS.every((part) => part.name !== name))
    if (unknown.length > 0) throw new Error(`There is no part ${unknown.join(', ')}.`)
    return {
      names: positionals,
      quick: values.quick,
      list: values.list,
      against: values.against,
      options: optionsOf(values),
    }
  } catch (error) {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n${USAGE}\n`)
    process.exit(2)
  }
}
