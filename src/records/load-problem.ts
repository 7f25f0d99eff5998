// Rows to a problem: everything that the planner has to know about a distributor on a day.

import { dayOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import type { Version } from '../database/version.ts'
import { NotFound } from '../errors.ts'
import {
  addDays,
  type Batch,
  type Costs,
  costsShape,
  type LocalDate,
  type Plan,
  type Problem,
  type StockLot,
  withoutLines,
} from '../planner/documents/index.ts'
import { openLivePlan } from '../planner/index.ts'
import { type FleetBooks, withContainers } from './expected-containers.ts'
import { sortedBy } from './group.ts'
import { loadPlanInForce } from './load-plan.ts'
import { type KnownLines, readChangedLines, readOpenLines } from './open-lines.ts'
import type { Reserved } from './reserved.ts'
import { setupOnDay } from './setup-on-day.ts'
import { readSetupTables, type SetupTables, setupRows } from './setup-rows.ts'

export interface ProblemOptions {
  /** The distributor's today: no decision lies before it. */
  today: LocalDate
  /**
   * This instant: reservations whose time has run out by then are gone, and the plan in force is without their lines.
   * `BEFORE_SWEEP` leaves them in, as in the rows of the plan, for a writer that has yet to remove them.
   */
  at: Date | 'BEFORE_SWEEP'
  /** Days of the horizon. Absent: the distributor's. */
  horizonDays?: number
  /** Frozen days (F1). Absent: the distributor's. */
  frozenDays?: number
  /** Prices that replace the distributor's, by cost term. */
  costs?: Partial<Costs>
  /** The distributor's row, as one who holds the lock has just read it. Absent: it is read. */
  distributor?: Prisma.DistributorGetPayload<object>
  /** What a writer who holds the lock knows, and what of it is read again. Absent: all is read. */
  known?: KnownLines & {
    baseline: { id: string; plan: Plan }
    rows?: Pick<KnownRows, 'setup'> & { containers: FleetBooks | undefined }
  }
}

/** What a problem was made of that changes seldom. */
export interface KnownRows {
  setup: SetupTables
  /** Of the problem's today. */
  containers: FleetBooks
}

/** Its version is that of the records that it was read from. */
export interface LoadedProblem extends Version {
  problem: Problem
  /** The plan in force, which is its baseline. Absent: there is none. */
  baselineId?: string
  /** The reservations whose lines are in the problem. */
  reserved: readonly Reserved[]
  /** The highest number of an order; 0 where there is none. */
  lastOrder: number
  rows: KnownRows
}

/**
 * Reads a distributor's problem in a fixed number of queries. Inside a transaction that sees one snapshot (under the
 * distributor's lock, or `RepeatableRead`) it is consistent. What is retired is left out, unless a batch, stock or an
 * open order line names it; emptied batches, empty lots, closed lines and what of open ones has left or was closed short are left out. Lines of
 * reservations that hold are read like open ones. Throws `NotFound`.
 */
export async function loadProblem(
  tx: TransactionClient,
  distributorId: string,
  options: ProblemOptions,
): Promise<LoadedProblem> {
  const distributor = options.distributor ?? (await tx.distributor.findUnique({ where: { id: distributorId } }))
  if (!distributor) throw new NotFound('Distributor', distributorId)
  const where = { distributorId }
  const batches = sortedBy(await tx.batch.findMany({ where: { ...where, emptiedOn: null } }), ({ id }) => id)
  const lots = sortedBy(await tx.stockLot.findMany({ where: { ...where, quantity: { gt: 0 } } }), ({ id }) => id)
  const { at, known } = options
  const { openLines, reserved, lastOrder, lapsed } = known
    ? await readChangedLines(tx, distributorId, known)
    : await readOpenLines(tx, distributorId, at)
  const tables = await readSetupTables(tx, distributorId, known?.rows?.setup)
  const setup = setupRows(tables, {
    vesselIds: new Set(batches.map(({ vesselId }) => vesselId)),
    siteIds: new Set([...batches, ...lots].map(({ siteId }) => siteId)),
    beerIds: new Set(batches.map(({ beerId }) => beerId)),
    packIds: new Set([...lots, ...openLines].map(({ packId }) => packId)),
    accountIds: new Set(openLines.map(({ accountId }) => accountId)),
  })
  const { today } = options
  const horizonDays = options.horizonDays ?? distributor.horizonDays
  const lastDay = addDays(today, horizonDays - 1)
  const asSetUp = await setupOnDay(tx, distributorId, setup, { today, lastDay })
  const counted = await withContainers(tx, distributorId, asSetUp, today, {
    accounts: tables.accounts,
    containers: known?.rows?.containers,
  })

  const problem: Problem = {
    today,
    horizonDays,
    frozenDays: options.frozenDays ?? distributor.frozenDays,
    ...counted.setup,
    batches: batches.map((row) => batchOf(row, today)),
    stock: lots.map((row) => lotOf(row, today)),
    orderLines: openLines,
    costs: { ...costsShape.partial().parse(distributor.costs), ...options.costs },
  }
  const baseline = known?.baseline ?? (await loadPlanInForce(tx, distributorId))
  if (baseline) problem.baseline = settled(problem, baseline.plan, lapsed)
  const rows = { setup: tables, containers: counted.containers }
  const { revision, epoch } = distributor
  return { problem, revision, epoch, baselineId: baseline?.id, reserved, lastOrder, rows }
}

/** A day that has come; at a site that is ahead of the distributor it may be after `today`. */
function dayUpTo(day: Date, today: LocalDate): LocalDate {
  const on = dayOf(day)
  return on < today ? on : today
}

/** A batch that stands in a vessel. */
function batchOf(row: Prisma.BatchGetPayload<object>, today: LocalDate): Batch {
  return {
    id: row.id,
    beerId: row.beerId,
    vesselId: row.vesselId,
    litres: row.litres,
    readyAt: row.readyAt.toISOString(),
    transferredOn: row.transferredOn ? dayUpTo(row.transferredOn, today) : undefined,
    openedOn: row.openedOn ? dayUpTo(row.openedOn, today) : undefined,
    primable: row.primable,
    quarantined: row.quarantined,
  }
}

/** A lot of filled containers. */
function lotOf(row: Prisma.StockLotGetPayload<object>, today: LocalDate): StockLot {
  return {
    id: row.id,
    siteId: row.siteId,
    packId: row.packId,
    quantity: row.quantity,
    filledOn: dayUpTo(row.filledOn, today),
    readyOn: dayOf(row.readyOn),
    bestBefore: dayOf(row.bestBefore),
    quarantined: row.quarantined,
  }
}

/** The plan without lines that ran out: brews, transfers and dumping follow what is left, as when the lines are swept out. */
function settled(problem: Problem, inForce: Plan, lapsed: ReadonlySet<string>): Plan {
  if (lapsed.size === 0) return inForce
  return { ...openLivePlan(problem, withoutLines(problem, inForce, lapsed)).plan, moved: [] }
}
