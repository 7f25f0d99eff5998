// What four of the floor say through two servers that are killed meanwhile: each fact that was acknowledged is there, once; the
// ledger balances and gives the tables; the plan in force is valid. Twice on a server that is named, 20 times in the long run.
import { setTimeout as wait } from 'node:timers/promises'
import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { randomFrom } from '../../seeds/random.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import { checkPlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { decodeGlobalId } from '../../src/resolvers/global-id.ts'
import { readPlanDocuments } from '../../src/resolvers/plans/plan-documents.ts'
import { type Caller, callerOf } from '../../tools/serving/caller.ts'
import { ownDatabase } from '../../tools/serving/own-database.ts'
import { type ServerProcess, startedServer } from '../../tools/serving/server-process.ts'
import { nextAct, orderedScenario } from '../model/history.ts'
import { testJobs } from '../support/jobs.ts'
import { expectReplayed } from '../support/replayed.ts'
import { sampledNumbers } from '../support/sampled.ts'

const serverUrl = process.env.TEST_DATABASE_URL || undefined
const ZONE = 'Etc/UTC'
const DISTRIBUTOR = 'floor'
const SPEAKERS = 4
const ACTS = 12

const answered = z.object({ it: z.object({ facts: z.array(z.object({ id: z.string() })).optional() }) })

interface Place {
  server: ServerProcess
  caller: Caller
}

/** Two servers on one database, of which one at a time is killed and started again until the floor has said all. */
async function underKills(
  environment: Record<string, string>,
  key: string,
  say: (ask: Caller['ask']) => Promise<void>,
) {
  const start = async (): Promise<Place> => {
    const server = await startedServer(environment)
    return { server, caller: callerOf(server.address(), key, SPEAKERS) }
  }
  const places = [await start(), await start()]
  let turn = 0
  let over = false
  /** Asks again, at the other server, until there is an answer. */
  const ask: Caller['ask'] = async (query, variables) => {
    for (;;) {
      try {
        return await places[turn++ % 2]!.caller.ask(query, variables)
      } catch {
        await wait(100)
      }
    }
  }
  const kills = (async () => {
    for (let n = 0; !over; n++) {
      await wait(700)
      const victim = places[n % 2]
      if (over || !victim) return
      await victim.server.kill()
      victim.caller.close()
      places[n % 2] = await start()
    }
  })()
  await say(ask).finally(() => (over = true))
  await kills
  for (const { server, caller } of places) {
    caller.close()
    await server.stop()
  }
}

describe.runIf(serverUrl)('on PostgreSQL, through two servers', () => {
  test.each(sampledNumbers(1, 20, 2))(
    'history %i: what was acknowledged is there once, and all that follows from it holds',
    async (seed) => {
      const own = await ownDatabase(serverUrl)
      const { client, close } = await own.open()
      try {
        const faults: unknown[] = []
        const services = { client, clock: systemClock, onFault: (error: unknown) => faults.push(error) }
        const jobs = testJobs(services)
        await jobs.stop()
        const actor = {
          ...{ ...services, distributorId: DISTRIBUTOR, jobs },
          ...{ snapshots: new Snapshots(), executor: new CommandExecutor() },
        }
        const keys = await client.$transaction(async (tx) => {
          const scenario = orderedScenario(todayIn(systemClock, ZONE), ZONE)
          await saveSetup(tx, DISTRIBUTOR, scenario, systemClock.now())
          return makeDemoKeys(tx, DISTRIBUTOR, systemClock.now())
        })
        const acknowledged: string[] = []
        const withdrawn = new Set<string>()
        await underKills(own.environment, keys.floor, async (ask) => {
          const speak = async (speaker: number) => {
            const random = randomFrom(seed).fork(`speaker ${speaker}`)
            for (let n = 0; n < ACTS; n++) {
              const today = todayIn(systemClock, ZONE)
              const act = await nextAct(random, actor, today, `${speaker}-${n}`)
              if (!act) continue
              const { data, errors } = await ask(act.query, { input: act.input })
              expect(errors, JSON.stringify(act.input)).toBeUndefined()
              const { facts = [] } = answered.parse(data).it
              const ids = facts.map(({ id }) => decodeGlobalId(id)?.id ?? '')
              // A withdrawal has no reference: two that withdraw one fact are answered the same.
              if ('facts' in act.input) acknowledged.push(...ids)
              else for (const id of ids) withdrawn.add(id)
            }
          }
          await Promise.all(Array.from({ length: SPEAKERS }, (_, speaker) => speak(speaker)))
        })
        expect(acknowledged.length).toBeGreaterThan(SPEAKERS)
        expect(new Set(acknowledged).size).toBe(acknowledged.length)
        const said = [...acknowledged, ...withdrawn]
        const there = await client.fact.count({ where: { distributorId: DISTRIBUTOR, id: { in: said } } })
        expect(there).toBe(said.length)
        await expectReplayed(client, DISTRIBUTOR)
        const { problem, plan } = await readPlanDocuments(actor)
        expect(plan && checkPlan(problem, plan).violations).toEqual([])
        expect(faults).toEqual([])
      } finally {
        await close()
        await own.drop()
      }
    },
    300_000,
  )
})
