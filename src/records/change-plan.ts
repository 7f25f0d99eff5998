// Changes a stored plan in place: only what differs is written, in one statement, so that placing one order into a plan of
// thousands of lines touches a handful of rows.
import { runBatchedStatement } from '../database/batched-statement.ts'
import { dateOf } from '../database/calendar-day.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import type { LocalDate, Plan } from '../planner/documents/index.ts'
import { deltaBetween, type PlanDelta } from '../planner/documents/index.ts'
import { deltaRows } from './delta-rows.ts'
import { readSites, type SitesOf } from './plan-rows.ts'

/**
 * Turns the rows of the plan `planId`, which say `from`, into rows that say `to`. The caller has read `from` under the
 * lock that it still holds. The deliveries of a line that changes are numbered anew, after all others.
 */
export async function changePlan(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  from: Plan,
  to: Plan,
): Promise<void> {
  const sites = await readSites(tx, distributorId, { emptied: false })
  await runBatchedStatement(tx, await deltaWrites(tx, distributorId, planId, deltaBetween(from, to), sites))
}

/**
 * The writes of a batched statement that say how a plan becomes another, and its cost; a lower bound that was found for another state of it holds
 * no longer. The rows must be as they were when the delta was found. `horizon` is the plan's from now on, where it may have changed.
 */
export async function deltaWrites(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  delta: PlanDelta,
  sites: SitesOf,
  horizon?: { today: LocalDate; horizonDays: number },
): Promise<Prisma.Sql[]> {
  const rows = await deltaRows(tx, distributorId, planId, delta, sites)
  const own = Prisma.sql`"distributorId" = ${distributorId} AND "planId" = ${planId}`
  const gone = (table: string, column: string, ids: readonly string[], also = Prisma.empty) =>
    ids.length === 0
      ? []
      : [Prisma.sql`DELETE FROM ${name(table)} WHERE ${own} AND ${name(column)} = ANY(${[...ids]}::text[]) ${also}`]
  const served = [...new Set([...delta.deliveries.gone, ...delta.deliveries.put.map(({ orderLineId }) => orderLineId)])]
  const dumping = [...new Set([...delta.dumped.gone, ...delta.dumped.put.map(({ batchId }) => batchId)])]
  const verdicts = [
    ['UNSERVED', delta.unserved],
    ['LATE', delta.late],
    ['BROKEN_PROMISE', delta.brokenPromises],
  ] as const
  const days = horizon
    ? Prisma.sql`, "today" = ${dateOf(horizon.today)}::date, "horizonDays" = ${horizon.horizonDays}::int`
    : Prisma.empty
  return [
    ...upsert('PlannedBrew', ['id'], rows.brews),
    ...upsert('PlannedTransfer', ['id'], rows.transfers),
    ...upsert('FillRun', ['id'], rows.fillRuns),
    ...gone('Delivery', 'orderLineId', served),
    ...append('Delivery', 'n', rows.deliveries, own),
    ...append('DeliverySource', 'deliveryN', rows.sources, own),
    ...gone('Dump', 'batchId', dumping),
    ...gone('Dump', 'brewId', dumping),
    ...append('Dump', 'n', rows.dumps, own),
    ...verdicts.flatMap(([kind, list]) =>
      gone('PlanVerdict', 'orderLineId', list.gone, Prisma.sql`AND "kind" = ${kind}::"VerdictKind"`),
    ),
    ...upsert('PlanVerdict', ['kind', 'orderLineId'], rows.verdicts),
    ...gone('FillRun', 'id', delta.fillRuns.gone),
    ...gone('PlannedTransfer', 'id', delta.transfers.gone),
    ...gone('PlannedBrew', 'id', delta.brews.gone),
    ...(delta.moved === undefined ? [] : moves(rows.moved, own)),
    Prisma.sql`UPDATE "Plan" SET "costTotal" = ${delta.cost.total}::float8,
      "costTerms" = ${JSON.stringify(delta.cost.terms)}::jsonb, "lowerBound" = NULL, "boundKind" = NULL, "gap" = NULL ${days}
      WHERE "distributorId" = ${distributorId} AND "id" = ${planId}`,
  ]
}

function name(identifier: string): Prisma.Sql {
  return Prisma.raw(`"${identifier}"`)
}

function columnsOf(rows: readonly object[]): string[] {
  return [...new Set(rows.flatMap((row) => Object.keys(row)))]
}

/** Inserts rows, or lets those with the same key say what they say. */
function upsert(table: string, key: readonly string[], rows: readonly object[]): Prisma.Sql[] {
  if (rows.length === 0) return []
  const keys = ['distributorId', 'planId', ...key]
  const columns = columnsOf(rows)
  const others = columns.filter((column) => !keys.includes(column))
  return [
    Prisma.sql`INSERT INTO ${name(table)} (${Prisma.join(columns.map(name))})
      SELECT ${Prisma.join(columns.map(name))}
      FROM jsonb_populate_recordset(NULL::${name(table)}, ${JSON.stringify(rows)}::jsonb)
      ON CONFLICT (${Prisma.join(keys.map(name))})
      DO UPDATE SET ${Prisma.join(others.map((column) => Prisma.sql`${name(column)} = EXCLUDED.${name(column)}`))}`,
  ]
}

/** Lets the moves of a plan be these and no others. */
function moves(rows: readonly object[], own: Prisma.Sql): Prisma.Sql[] {
  const kept = Prisma.sql`SELECT "kind", "decisionId" FROM jsonb_populate_recordset(NULL::"PlanMove", ${JSON.stringify(rows)}::jsonb)`
  return [
    Prisma.sql`DELETE FROM "PlanMove" WHERE ${own} AND ("kind", "decisionId") NOT IN (${kept})`,
    ...upsert('PlanMove', ['kind', 'decisionId'], rows),
  ]
}

/** Inserts rows whose numbers in a column count on from the highest there is of the deliveries, or of the dumps. */
function append(table: string, column: string, rows: readonly object[], own: Prisma.Sql): Prisma.Sql[] {
  if (rows.length === 0) return []
  const columns = columnsOf(rows)
  const counted = name(table === 'Dump' ? 'Dump' : 'Delivery')
  const values = columns.map((each) =>
    each === column
      ? Prisma.sql`${name(each)} + (SELECT coalesce(max("n"), 0) FROM ${counted} WHERE ${own})`
      : name(each),
  )
  return [
    Prisma.sql`INSERT INTO ${name(table)} (${Prisma.join(columns.map(name))})
      SELECT ${Prisma.join(values)}
      FROM jsonb_populate_recordset(NULL::${name(table)}, ${JSON.stringify(rows)}::jsonb)`,
  ]
}
