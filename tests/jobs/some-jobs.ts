// A kind of job that a test holds in its hands: each attempt waits until the test lets it go on.
import { afterEach, beforeEach } from 'vitest'
import { z } from 'zod'
import type { SetClock } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { inTransaction } from '../../src/database/transaction.ts'
import { type EnqueueOptions, enqueue } from '../../src/jobs/enqueue.ts'
import { type Attempt, type JobFailure, type JobServices, jobKind, type Lane } from '../../src/jobs/job-kind.ts'
import { JobRunner, type RunnerOptions } from '../../src/jobs/runner.ts'
import { emptyDatabase, openTestDatabase } from '../support/database.ts'

/** An attempt that waits for the test. */
export interface Held {
  attempt: Attempt
  name: string
  /** Lets the handler answer its result, or throw. */
  end: (error?: Error) => void
}

/** The test database with the distributors `a`, `b` and `c`, empty of jobs before each test; `jobs` answers what a test has. */
export async function openJobs() {
  const database = await openTestDatabase()
  let current: Awaited<ReturnType<typeof someJobs>> | undefined
  beforeEach(async () => {
    await emptyDatabase(database.pool)
    current = await someJobs(database, ['a', 'b', 'c'])
  })
  afterEach(() => current?.stop())
  const jobs = () => {
    if (!current) throw new Error('no test has begun')
    return current
  }
  return { ...database, jobs }
}

/** Distributors, a kind of job whose attempts the test ends, and runners of it, as several processes have them. */
async function someJobs({ client, clock }: { client: PrismaClient; clock: SetClock }, distributors: string[]) {
  const held: Held[] = []
  /** What results were written, in order. */
  const written: string[] = []
  const failed: (JobFailure & { key: string })[] = []
  const faults: unknown[] = []
  const services: JobServices = { client, clock, onFault: (error) => faults.push(error) }
  for (const id of distributors) await client.distributor.create({ data: { id, name: id, timeZone: 'Europe/London' } })

  const kindIn = (lane: Lane) =>
    jobKind<{ name: string }, JobServices>({
      name: `HELD_${lane}`,
      lane,
      payload: z.strictObject({ name: z.string() }),
      run: async (attempt, { name }) => {
        await new Promise<void>((resolve, reject) => {
          attempt.signal.addEventListener('abort', () => reject(attempt.signal.reason), { once: true })
          held.push({ attempt, name, end: (error) => (error ? reject(error) : resolve()) })
        })
        return async (tx) => {
          await tx.distributor.update({ where: { id: attempt.distributorId }, data: { name } })
          written.push(name)
        }
      },
      failed: async (tx, { distributorId, key }, failure) => {
        await tx.distributor.update({ where: { id: distributorId }, data: { name: failure.reason } })
        failed.push({ key, ...failure })
      },
    })
  const kind = kindIn('PLANNING')
  const quick = kindIn('QUICK')

  const runners: JobRunner<JobServices>[] = []
  const runner = (options: Partial<RunnerOptions> = {}) => {
    const made = new JobRunner([kind, quick], services, { planning: 100, perDistributor: 100, ...options })
    runners.push(made)
    return made
  }
  const stop = () => Promise.all(runners.map((each) => each.stop()))
  /** Enqueues one, a second after the one before. */
  const ask = async (distributorId: string, name: string, options: EnqueueOptions & { of?: typeof kind } = {}) => {
    const { of = kind, ...rest } = options
    clock.set(new Date(clock.now().getTime() + 1000))
    await inTransaction(client, (tx) => enqueue({ tx, clock }, distributorId, of, { name }, { key: name, ...rest }))
  }
  const rowOf = (key: string) => client.job.findFirstOrThrow({ where: { key } })
  /** Waits until so many attempts are held. */
  const begun = async (count: number) => {
    while (held.length < count) await new Promise((resolve) => setTimeout(resolve, 5))
    return held.map(({ name }) => name)
  }
  const endOf = (name: string, error?: Error) => held.find((each) => each.name === name)?.end(error)
  /** Lets the lease of a job run out, as when its process has ended. */
  const runOut = (key: string) =>
    client.$executeRaw`UPDATE "Job" SET "leaseUntil" = now() - interval '1 second' WHERE "key" = ${key}`
  return { services, stop, kind, quick, held, written, failed, faults, runner, ask, rowOf, begun, endOf, runOut }
}
