// npm run demo:week -- [--seed N] [--days N]: a week of the demo's smaller site as a story. Everything goes through the API, in an
// embedded database that is gone afterwards. Exit code 1 where an evening's plan breaks a rule, 2 for arguments that cannot be.
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { SetClock } from '../../src/clock.ts'
import { ownDatabase } from '../serving/own-database.ts'
import { Season } from './season.ts'
import { storyOf } from './story.ts'

const FIRST_DAY = '2027-03-01'
const USAGE = 'Usage: npm run demo:week -- [--seed N] [--days N], with a seed from 0 to 999999 and 1 to 60 days.\n'

const { seed, days } = readArguments()
const own = await ownDatabase(undefined)
const { client, close } = await own.open()
const season = await Season.open({
  ...{ client, clock: new SetClock(new Date(0)), firstDay: FIRST_DAY, days, seed, steps: 50, everyChange: false },
  ...{ brewery: 'HITHELOW', unsaidWork: 'ASSUMED', betterPlans: 'NEVER', drafts: true },
})
try {
  print(`Hithelow Works is a small invented brewery on the coast: five fermenters, one bright vessel, a van and a boat.
Its people do each day what the plan in force has for it, and say what they did. What goes wrong is drawn from
seed ${seed}, so the story is the same each time; another seed tells another week.\n\n`)
  for await (const day of season.days()) print(storyOf(day))
  await ending()
} finally {
  await season.close()
  await close()
  await own.drop()
}

async function ending(): Promise<void> {
  const { said, assumed, promisesClosed, promisesKept, litresDelivered, movedPerDay } = await season.figures()
  const faults = [...season.checks.faults, ...season.crashes]
  print(`In ${days} ${days === 1 ? 'day' : 'days'} ${said} facts were said and ${assumed} assumed, and ${Math.round(litresDelivered)} L were delivered.
${promisesKept} of the ${promisesClosed} promises that fell due were kept. Of what was planned for later days, ${movedPerDay.toFixed(1)} decisions moved a day.
${faults.length === 0 ? 'Every evening the checker found the plan in force valid for the records.' : 'Something was wrong:'}\n`)
  for (const fault of faults) print(`${String(fault)}\n`)
  if (faults.length > 0) process.exitCode = 1
}

function print(text: string): void {
  process.stdout.write(text)
}

function readArguments(): { seed: number; days: number } {
  const shape = z.object({
    seed: z.coerce.number().int().min(0).max(999_999).default(2),
    days: z.coerce.number().int().min(1).max(60).default(7),
  })
  try {
    const { values } = parseArgs({ options: { seed: { type: 'string' }, days: { type: 'string' } } })
    return shape.parse(values)
  } catch {
    process.stderr.write(USAGE)
    process.exit(2)
  }
}
