// Random sequences of what sales, the planner and the cellar do, against a simple model: after every step the records say
// what the model says, and the plan in force passes the checker. A short run here; `npm run test:long` makes a long one.
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { openTestDatabase } from '../support/database.ts'
import { LONG, WHOLE } from '../support/sampled.ts'
import { Brewery } from './brewery.ts'
import { sequencesOf } from './commands.ts'
import { Model } from './model.ts'

const MOST_COMMANDS = LONG ? 30 : 8
const SEQUENCES = LONG ? 2000 : WHOLE ? 100 : 30
/** In milliseconds. It is to take a minute at most in the short run; a shared machine may take several times as long. */
const HOUR = 3_600_000
const database = await openTestDatabase()
const TODAY = '2027-03-01'

test(
  'whatever happens in whatever order, each has what it was promised, and no cask is sold twice',
  async () => {
    const started = performance.now()
    let sequences = 0
    let steps = 0
    const property = fc.asyncProperty(sequencesOf(MOST_COMMANDS), async (commands) => {
      sequences += 1
      const now = Date.parse(`${TODAY}T06:00:00Z`)
      const real = await Brewery.open(database, `model-${sequences}`, now)
      const model = new Model(TODAY, now, await real.horizonDays())
      await fc.asyncModelRun(() => ({ model, real }), commands)
      await real.expectLike(model, 'the end', true)
      steps += model.steps
      await real.actor.jobs.stop()
    })
    // The short run is the same each time; the long one tells its seed where it fails.
    await fc.assert(property, {
      numRuns: SEQUENCES,
      ...(LONG ? {} : { seed: 5 }),
      verbose: 1,
    })
    expect(steps).toBeGreaterThan(0)
    const seconds = Math.round((performance.now() - started) / 1000)
    console.log(`${sequences} sequences, ${steps} commands, ${seconds} seconds`)
  },
  LONG ? 10 * HOUR : HOUR,
)
