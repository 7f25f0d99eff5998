// Random sequences of what sales, the planner and the cellar do, against a simple model: after every step the records say
// what the model says, and the plan in force passes the checker. A short run here; `npm run test:long` makes a long one.
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { openTestDatabase } from '../support/database.ts'
import { Brewery } from './brewery.ts'
import { sequences } from './commands.ts'
import { Model } from './model.ts'

const long = process.env.LONG === 'yes'
const MOST_COMMANDS = 30
const database = await openTestDatabase()
const TODAY = '2027-03-01'

test('whatever happens in whatever order, each has what it was told, and no cask is sold twice', async () => {
  let sequence = 0
  let steps = 0
  const property = fc.asyncProperty(sequences(MOST_COMMANDS), async (commands) => {
    sequence += 1
    const model = new Model(TODAY, Date.parse(`${TODAY}T06:00:00Z`))
    database.clock.set(new Date(model.now))
    const real = await Brewery.open(database, `model-${sequence}`)
    await fc.asyncModelRun(() => ({ model, real }), commands)
    steps += model.steps
    await real.actor.drafts.stop()
  })
  // The short run is the same each time; the long one tells its seed where it fails.
  await fc.assert(property, {
    ...(long ? { numRuns: 2000 } : { numRuns: 200, seed: 4 }),
    interruptAfterTimeLimit: long ? 240_000 : 20_000,
    verbose: 1,
  })
  expect(steps).toBeGreaterThan(0)
  console.log(`${sequence} sequences, ${steps} steps`)
}, 600_000)
