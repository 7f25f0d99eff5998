// Random histories through the API, with late facts and corrections: the ledger balances after every revision, replaying it gives
// the tables, movements agree with it and with the report of removals, and the plan in force is valid. A few here, 200 with `npm run test:long`.
import { expect, test } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'
import { todayIn } from '../../src/clock.ts'
import { ledgerFaults } from '../../src/floor/ledger/identity.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { checkPlan } from '../../src/planner/index.ts'
import { entryOf } from '../../src/records/ledger.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { readPlanDocuments } from '../../src/resolvers/plans/plan-documents.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { expectMovementsAgree } from '../support/movements-agree.ts'
import { expectReplayed } from '../support/replayed.ts'
import { LONG, sampledNumbers } from '../support/sampled.ts'
import { nextAct, orderedScenario } from './history.ts'

const ZONE = 'Europe/London'
const ACTS = LONG ? 30 : 12

test.each(sampledNumbers(1, 200, 2))(
  'history %i: the ledger balances after each act and gives the tables',
  async (seed) => {
    const random = randomFrom(seed)
    const { ask, client, clock, jobs, faults } = await openTestApi({
      scenarioOf: (today) => orderedScenario(today, ZONE),
    })
    const services = { client, clock, onFault: (error: unknown) => faults.push(error) }
    const actor = {
      ...{ ...services, distributorId: DEMO_ID, jobs },
      ...{ snapshots: new Snapshots(), executor: new CommandExecutor() },
    }
    await ask('{ distributor { name } }', {}, 'floor')
    let taken = 0
    for (let n = 0; n < ACTS; n++) {
      if (random.chance(0.15)) {
        clock.set(new Date(clock.now().getTime() + 43_200_000))
        await ask('{ distributor { name } }', {}, 'floor')
      }
      const act = await nextAct(random, actor, todayIn(clock, ZONE), `said-${n}`)
      if (!act) continue
      const { data, errors } = await ask(act.query, { input: act.input }, 'floor')
      expect(errors, JSON.stringify(act.input)).toBeUndefined()
      if (Object(data?.it).__typename === 'FactsPayload') taken += 1
      const { problem, plan } = await readPlanDocuments(actor)
      expect(plan && checkPlan(problem, plan).violations, JSON.stringify(act.input)).toEqual([])
    }
    expect(taken).toBeGreaterThan(ACTS / 4)
    expect(faults).toEqual([])
    const rows = await client.ledgerEntry.findMany({ orderBy: [{ revision: 'asc' }, { n: 'asc' }] })
    const entries = rows.map(entryOf)
    for (const revision of new Set(entries.map((entry) => entry.revision)))
      expect(ledgerFaults(entries.filter((entry) => entry.revision <= revision))).toEqual([])
    await expectReplayed(client, DEMO_ID)
    const today = todayIn(clock, ZONE)
    await expectMovementsAgree(actor, addDays(today, -200), addDays(today, 1))
    await jobs.stop()
  },
  300_000,
)
