// The plan in force, compiled and kept in memory, one for each distributor: asking for a promise costs no more than the
// query that says whether the snapshot is current.
import { LRUCache } from 'lru-cache'
import type { PrismaClient, TransactionClient } from '../database/client.ts'
import { isSameVersion, type Version } from '../database/version.ts'
import { deltaBetween, type LocalDate, type Plan, type PlanDelta, type Problem } from '../planner/documents/index.ts'
import { type CarriedPlan, followPlan, type LivePlan, openLivePlan, type Proposal } from '../planner/index.ts'
import { type KnownRows, loadProblem } from './load-problem.ts'
import { lapsedBy, type Reserved } from './reserved.ts'

/** The records of a distributor at a version, on a day; with reservations that have run out until they are swept out. */
export interface Snapshot extends Version {
  distributorId: string
  /** The distributor's today. */
  today: LocalDate
  /** Its baseline is the plan in force. */
  problem: Problem
  /** The reservations whose lines are in the problem, those that run out first at the front. */
  reserved: readonly Reserved[]
  /** The highest number of an order; 0 where there is none. */
  lastOrder: number
  /** What the problem was made of, for a writer of facts. Absent: it has to be read. */
  rows?: KnownRows
  /** Absent: no plan is in force. */
  inForce?: InForce
}

/** When something is asked. */
export interface Moment {
  /** The distributor's today. */
  today: LocalDate
  /** This instant. */
  at: Date
}

export interface InForce {
  planId: string
  /** As the rows say it. Of a plan that a change made it is put together when it is first asked for. */
  readonly plan: Plan
  /** The plan with what no longer holds placed anew, open for trial placements; compiled when it is first asked for. */
  held: () => CarriedPlan
  /** The same, open for changes. */
  live: () => LivePlan
  /** A plan that is open already, which one for later records may follow: this one, or one before it. Absent: none is. */
  readonly opened: LivePlan | undefined
  /** Whether the plan holds just as the rows say. */
  holds: () => boolean
  /** How the rows become the plan that is open; undefined where they say it already. */
  unwritten: () => PlanDelta | undefined
}

/** What is known of a plan in force. */
export interface KnownOfPlan {
  /** The plan where it is open already. */
  live?: LivePlan | undefined
  /** It was found to keep all rules, so that it is not checked again. */
  isValid?: boolean
  /** An open plan that it may follow. */
  follows?: LivePlan | undefined
}

/** The plan in force of a problem as the rows say it, to be compiled when it is first asked for. */
export function inForceOf(problem: Problem, planId: string, plan: Plan, known: KnownOfPlan = {}): InForce {
  let { live: opened, follows } = known
  const { isValid } = known
  let open: () => LivePlan = () => {
    if (opened) return opened
    try {
      const found = (isValid && follows && followed(follows, problem, plan)) || openLivePlan(problem, plan, isValid)
      opened = found
      follows = undefined
    } catch (error) {
      // Opening takes long, and fails the same way each time.
      open = () => {
        throw error
      }
    }
    return open()
  }
  const live = () => open()
  return {
    planId,
    plan,
    get opened() {
      return opened ?? follows
    },
    live,
    held: () => ({ plan: live().held, trial: live().trial }),
    holds: () => live().held === plan,
    unwritten: () => deltaBetween(plan, live().plan),
  }
}

/** The open plan as a valid one for later records; undefined where that is to be opened anew, as where following fails. */
function followed(from: LivePlan, problem: Problem, plan: Plan): LivePlan | undefined {
  try {
    return followPlan(from, problem, plan, true)
  } catch {
    return undefined
  }
}

/** The plan in force as a change made it; its rows say the same. */
export function inForceSince(planId: string, live: LivePlan): InForce {
  return {
    planId,
    get plan() {
      return live.plan
    },
    opened: live,
    live: () => live,
    held: () => ({
      get plan() {
        return live.plan
      },
      trial: live.trial,
    }),
    holds: () => true,
    unwritten: () => undefined,
  }
}

/** Most distributors whose snapshots are kept; the one that was used longest ago goes first. */
const MOST_KEPT = 20
/** Bytes that all of them take together, as estimated. */
export const MOST_BYTES = 1024 * 1024 * 1024
/** An upper estimate: a process that plans 5,000 lines takes 268 MiB in all (`npm run bench -- growth`). */
const BYTES_A_LINE = 50 * 1024
/** What a snapshot takes beside its lines: the set-up, and every resource day by day. */
const BYTES_BESIDE = 1024 * 1024

/** Estimated bytes of a snapshot whose plan is open; never more than all may take, so that the newest one is always kept. */
export function estimatedBytes({ problem }: Pick<Snapshot, 'problem'>): number {
  return Math.min(BYTES_BESIDE + problem.orderLines.length * BYTES_A_LINE, MOST_BYTES)
}

export class Snapshots {
  readonly #kept = new LRUCache<string, Snapshot>({
    max: MOST_KEPT,
    maxSize: MOST_BYTES,
    sizeCalculation: estimatedBytes,
  })
  readonly #loading = new Map<string, Promise<Snapshot>>()

  /**
   * The snapshot of a version that was just read, without a lock; a newer one where the records have moved on.
   * Reservations that have run out by `at` are gone from it.
   */
  async current(
    client: PrismaClient,
    distributorId: string,
    version: Version,
    { today, at }: Moment,
  ): Promise<Snapshot> {
    return this.#withoutLapsed(await this.#written(client, distributorId, version, today), at)
  }

  /** The same as the rows have it: reservations that have run out are in it until a writer has swept them out. */
  async #written(client: PrismaClient, distributorId: string, read: Version, today: LocalDate): Promise<Snapshot> {
    let version = read
    if (this.seemsNewer(distributorId, read)) {
      // Others may have written since; or the records may have come back without what is kept, which then goes.
      version = await client.distributor.findUniqueOrThrow({
        where: { id: distributorId },
        select: { revision: true, epoch: true },
      })
    }
    const kept = this.#kept.get(distributorId)
    if (kept && isSameVersion(kept, version) && kept.today === today) return kept
    if (version !== read) this.#forgetUnless(distributorId, version)
    const key = JSON.stringify([distributorId, version.revision, version.epoch, today])
    const loading =
      this.#loading.get(key) ??
      client
        .$transaction((tx) => load(tx, distributorId, today), { isolationLevel: 'RepeatableRead' })
        .then((snapshot) => this.keep(snapshot))
        .finally(() => this.#loading.delete(key))
    this.#loading.set(key, loading)
    return loading
  }

  /** The same where it is in memory at just this version; undefined where it would have to be loaded. */
  inMemory(distributorId: string, version: Version, { today, at }: Moment): Snapshot | undefined {
    const kept = this.inMemoryLocked(distributorId, version, today)
    return kept && this.#withoutLapsed(kept, at)
  }

  /** Whether what is kept is of the revision that was read or a later one, and not of its commit: the row says which is true. */
  seemsNewer(distributorId: string, read: Version): boolean {
    const kept = this.#kept.peek(distributorId)
    return kept !== undefined && kept.revision >= read.revision && !isSameVersion(kept, read)
  }

  /** Drops what is kept where it cannot be of records that now have this version. */
  #forgetUnless(distributorId: string, now: Version): void {
    if (this.seemsNewer(distributorId, now)) this.drop(distributorId)
  }

  /** The distributors of which something is kept, each with the revision of it. */
  get revisions(): ReadonlyMap<string, number> {
    return new Map([...this.#kept.entries()].map(([distributorId, { revision }]) => [distributorId, revision]))
  }

  /** Estimated bytes of all that is kept. */
  get bytes(): number {
    return this.#kept.calculatedSize
  }

  /** Drops the snapshot of a distributor, so that the plan in force is opened anew from its rows: after a fault nothing in memory is trusted. */
  drop(distributorId: string): void {
    this.#kept.delete(distributorId)
  }

  /**
   * The snapshot for a writer who holds the distributor's lock at `version` and has written nothing yet, with reservations that
   * are yet to be swept out. It is of committed records, so it is kept whether or not the writer commits.
   */
  async locked(tx: TransactionClient, distributorId: string, version: Version, today: LocalDate): Promise<Snapshot> {
    this.#forgetUnless(distributorId, version)
    return this.inMemoryLocked(distributorId, version, today) ?? this.keep(await load(tx, distributorId, today))
  }

  /** The same where it is in memory, of a day or of any; undefined where it would have to be loaded. */
  inMemoryLocked(distributorId: string, version: Version, today: LocalDate | 'OF_ANY_DAY'): Snapshot | undefined {
    const kept = this.#kept.get(distributorId)
    const isOfDay = today === 'OF_ANY_DAY' || kept?.today === today
    return kept && isSameVersion(kept, version) && isOfDay ? kept : undefined
  }

  /** The records as a writer who holds the lock has left them so far; to be kept with its version once it is committed. */
  fresh(tx: TransactionClient, distributorId: string, today: LocalDate): Promise<Snapshot> {
    return load(tx, distributorId, today)
  }

  /** Keeps a snapshot of committed records, unless a newer one is there. */
  keep(snapshot: Snapshot): Snapshot {
    const { distributorId } = snapshot
    const kept = this.#kept.get(distributorId)
    if (kept && kept.revision > snapshot.revision) return snapshot
    this.#kept.set(distributorId, snapshot)
    return snapshot
  }

  readonly #lapsed = new WeakMap<Snapshot, Snapshot>()

  /** What is left of a snapshot once the time of some of its reservations has run out. */
  #withoutLapsed(snapshot: Snapshot, at: Date): Snapshot {
    const lapsed = lapsedBy(snapshot.reserved, at)
    if (lapsed.length === 0) return snapshot
    const known = this.#lapsed.get(snapshot)
    if (known && known.reserved.length === snapshot.reserved.length - lapsed.length) return known
    const left = withoutReserved(snapshot, lapsed)
    this.#lapsed.set(snapshot, left)
    return left
  }
}

/** The plan in force without lines that ran out. Its rows still say the plan that they said, with those lines. */
function inForceWithout(inForce: InForce, { next, inPlace }: Proposal): InForce {
  return {
    ...inForceSince(inForce.planId, next),
    get plan() {
      return inForce.plan
    },
    holds: () => inPlace && inForce.holds(),
  }
}

/** A snapshot without the lines of some of its reservations; nothing is written of it. */
function withoutReserved(snapshot: Snapshot, gone: readonly Reserved[]): Snapshot {
  const { problem, inForce, reserved } = snapshot
  const orderIds = new Set(gone.map(({ orderId }) => orderId))
  const lineIds = new Set(problem.orderLines.filter(({ orderId }) => orderIds.has(orderId)).map(({ id }) => id))
  const proposal = inForce?.live().propose(lineIds, () => [])
  const next = proposal?.next
  const orderLines = problem.orderLines.filter(({ id }) => !lineIds.has(id))
  return {
    ...snapshot,
    problem: next?.problem ?? { ...problem, orderLines },
    reserved: reserved.filter(({ orderId }) => !orderIds.has(orderId)),
    ...(inForce && proposal ? { inForce: inForceWithout(inForce, proposal) } : {}),
  }
}

async function load(tx: TransactionClient, distributorId: string, today: LocalDate): Promise<Snapshot> {
  const { baselineId, ...loaded } = await loadProblem(tx, distributorId, { today, at: 'BEFORE_SWEEP' })
  const { problem } = loaded
  const { baseline } = problem
  return {
    ...loaded,
    distributorId,
    today,
    ...(baseline && baselineId ? { inForce: inForceOf(problem, baselineId, baseline) } : {}),
  }
}
