// npm run soak [-- --hours N]: lives through simulated hours and shows what a server has open by hour, and what each act leaves in the
// records. On the PostgreSQL server that TEST_DATABASE_URL names, else on an embedded database. Exit code 1 with what grew.
import { parseArgs } from 'node:util'
import { otherThanStated, whatGrew } from './flat.ts'
import { soak } from './soak.ts'
import { HEAD, leftTable, rowOfHour } from './tables.ts'

const { values } = parseArgs({ options: { hours: { type: 'string' } } })
const hours = Number(values.hours ?? 24)
if (!Number.isInteger(hours) || hours < 2) {
  console.error('Usage: npm run soak [-- --hours N], two hours or more')
  process.exit(2)
}

console.log(HEAD)
const soaked = await soak({
  hours,
  breweries: 2,
  hoursBetweenDrafts: 2,
  serverUrl: process.env.TEST_DATABASE_URL || undefined,
  onHour: (measured, hour) => console.log(rowOfHour(measured, hour)),
})
console.log(`\n${leftTable(soaked.left)}\n`)
const faults = soaked.hours.at(-1)?.faults ?? []
const wrong = [
  ...whatGrew(soaked.hours).map((each) => `has grown: ${each}`),
  ...otherThanStated(soaked.left).map((each) => `rows other than stated: ${each}`),
  ...faults.map((each) => `a fault of the server: ${each}`),
]
for (const each of wrong) console.log(`WRONG  ${each}`)
if (wrong.length === 0) console.log('Nothing has grown but what is stated.')
process.exitCode = wrong.length > 0 ? 1 : 0
