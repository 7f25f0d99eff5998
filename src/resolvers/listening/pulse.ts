// One look at a distributor's records for all who listen to them: a stream more costs the database nothing.
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import type { PrismaClient } from '../../database/client.ts'
import { onCommit } from '../../database/commits.ts'
import { IS_GOOD_KEY } from '../access/authenticate.ts'

/** Milliseconds between two looks, where this process itself has written nothing. */
const BETWEEN_LOOKS = 1000
/** The same while the progress of something is listened to: it is noted in its row. */
const BETWEEN_LOOKS_AT_PROGRESS = 250

/** What a listener wants to see beside the version of the records. */
export interface Wanted {
  keyId?: string
  planId?: string
  comparisonId?: string
}

const workShape = z.object({ status: z.string(), progress: z.unknown(), scenarios: z.unknown().optional() })

/** What a look sees of all that is wanted. */
const sightShape = z.object({
  revision: z.int(),
  epoch: z.string(),
  /** Of the keys that listen, those that are good. */
  goodKeys: z.array(z.string()),
  plans: z.record(z.string(), workShape).nullable(),
  comparisons: z.record(z.string(), workShape).nullable(),
})

export type Sight = z.output<typeof sightShape>

interface Listener {
  wanted: Wanted
  /** Hears each sight of a look that began after it came; may take a moment. */
  hear: (sight: Sight) => void | Promise<void>
  /** Hears that the records cannot be looked at; nothing is heard afterwards. */
  fail: (error: unknown) => void
}

class Pulse {
  readonly #client: PrismaClient
  readonly #distributorId: string
  readonly #listeners = new Set<Listener>()
  #isBeating = false
  /** Ends the wait for the next look. */
  #wake: AbortController | undefined

  constructor(client: PrismaClient, distributorId: string) {
    this.#client = client
    this.#distributorId = distributorId
  }

  /** Whether no one listens. */
  get isIdle(): boolean {
    return this.#listeners.size === 0
  }

  /** Lets a listener hear each look until the answer is called; the first one comes at once. */
  join(listener: Listener): () => void {
    this.#listeners.add(listener)
    this.#wake?.abort()
    if (!this.#isBeating) void this.#beat()
    return () => {
      this.#listeners.delete(listener)
      if (this.#listeners.size === 0) this.#wake?.abort()
    }
  }

  async #beat(): Promise<void> {
    this.#isBeating = true
    while (this.#listeners.size > 0) {
      const wake = new AbortController()
      this.#wake = wake
      const deaf = onCommit(this.#client, this.#distributorId, () => wake.abort())
      try {
        await this.#look()
        await wait(this.#pause(), undefined, { signal: wake.signal, ref: false })
      } catch (error) {
        if (!wake.signal.aborted) throw error
      } finally {
        deaf()
      }
    }
    this.#isBeating = false
  }

  /** Looks once, and tells all who were there when it began. */
  async #look(): Promise<void> {
    const present = [...this.#listeners]
    const sight = await this.#read(present.map(({ wanted }) => wanted)).catch((error: unknown) => ({ error }))
    for (const listener of present) {
      if (!this.#listeners.has(listener)) continue
      try {
        if ('error' in sight) throw sight.error
        await listener.hear(sight)
      } catch (error) {
        this.#listeners.delete(listener)
        listener.fail(error)
      }
    }
  }

  #pause(): number {
    const areAtProgress = [...this.#listeners].some(({ wanted }) => wanted.planId ?? wanted.comparisonId)
    return areAtProgress ? BETWEEN_LOOKS_AT_PROGRESS : BETWEEN_LOOKS
  }

  async #read(wanted: readonly Wanted[]): Promise<Sight> {
    const ids = (of: keyof Wanted) => [...new Set(wanted.flatMap((each) => each[of] ?? []))]
    const [row] = await this.#client.$queryRaw<object[]>`
      SELECT d."revision", d."epoch"::text,
        ARRAY(SELECT k."id" FROM "ApiKey" k
          WHERE k."distributorId" = d."id" AND k."id" = ANY(${ids('keyId')}::text[]) AND ${IS_GOOD_KEY}) AS "goodKeys",
        (SELECT jsonb_object_agg(p."id", jsonb_build_object('status', p."status", 'progress', p."progress"))
          FROM "Plan" p WHERE p."distributorId" = d."id" AND p."id" = ANY(${ids('planId')}::text[])) AS "plans",
        (SELECT jsonb_object_agg(c."id",
            jsonb_build_object('status', c."status", 'progress', c."progress", 'scenarios', c."scenarios"))
          FROM "Comparison" c WHERE c."distributorId" = d."id" AND c."id" = ANY(${ids('comparisonId')}::text[])) AS "comparisons"
      FROM "Distributor" d WHERE d."id" = ${this.#distributorId}`
    return sightShape.parse(row)
  }
}

const pulses = new WeakMap<PrismaClient, Map<string, Pulse>>()

/** Lets a listener hear what each look at a distributor's records sees, until the answer is called. */
export function joinPulse(client: PrismaClient, distributorId: string, listener: Listener): () => void {
  const byDistributor = pulses.get(client) ?? new Map<string, Pulse>()
  pulses.set(client, byDistributor)
  const pulse = byDistributor.get(distributorId) ?? new Pulse(client, distributorId)
  byDistributor.set(distributorId, pulse)
  const leave = pulse.join(listener)
  return () => {
    leave()
    if (pulse.isIdle && byDistributor.get(distributorId) === pulse) byDistributor.delete(distributorId)
  }
}
