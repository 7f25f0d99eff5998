// npm run -s ordering [-- --operations N --seed N --kill-every N]: an ordering system outside the server, for so many orders placed, amended and
// cancelled. With TEST_DATABASE_URL two servers and a worker on that server, which are killed at random; without, one server on an
// embedded database. Exit code 1 where the sides do not agree.
import { parseArgs } from 'node:util'
import { House } from './house.ts'
import { simulate } from './simulate.ts'

const { values } = parseArgs({
  options: { operations: { type: 'string' }, seed: { type: 'string' }, 'kill-every': { type: 'string' } },
})
const serverUrl = process.env.TEST_DATABASE_URL || undefined
const house = await House.open({ serverUrl, servers: serverUrl ? 2 : 1, workers: serverUrl ? 1 : 0 })
try {
  const { faults, figures } = await simulate(house, {
    operations: Number(values.operations ?? 10_000),
    writers: 4,
    seed: Number(values.seed ?? 1),
    killEvery: Number(values['kill-every'] ?? 200),
  })
  for (const [name, value] of Object.entries(figures)) console.log(`${name.padEnd(20)} ${value}`)
  for (const fault of faults.slice(0, 50)) console.log(`WRONG  ${fault}`)
  if (faults.length > 50) console.log(`WRONG  and ${faults.length - 50} more`)
  if (faults.length === 0) console.log('All sides agree, line for line.')
  process.exitCode = faults.length > 0 ? 1 : 0
} finally {
  await house.close()
}
