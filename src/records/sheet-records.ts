// What sheets are made from: the plan in force with all that follows from it, the codes of its lots, and the rows that say how
// people call things. All of one revision, in a transaction that sees one snapshot.
import type { TransactionClient } from '../database/client.ts'
import { type LocalDate, NO_COST, type Plan } from '../planner/documents/index.ts'
import { deriveFacts, type Facts } from '../planner/index.ts'
import { loadProblem } from './load-problem.ts'

export interface SheetRecords {
  revision: number
  /** Absent: no plan is in force. */
  planId: string | undefined
  /** What follows from the plan in force; of no decisions where there is none. */
  facts: Facts
}

const NO_PLAN: Plan = {
  ...{ brews: [], transfers: [], fillRuns: [], deliveries: [], unserved: [], dumped: [] },
  cost: NO_COST,
}

/** Reads the records with the plan in force as the rows say it. `today` is the distributor's. */
export async function readSheetRecords(
  tx: TransactionClient,
  distributorId: string,
  today: LocalDate,
): Promise<SheetRecords> {
  const { problem, revision, baselineId } = await loadProblem(tx, distributorId, { today, at: 'BEFORE_SWEEP' })
  return { revision, planId: baselineId, facts: deriveFacts(problem, problem.baseline ?? NO_PLAN) }
}

/** The rows of a list by their ids. */
export function byId<Row extends { id: string }>(rows: readonly Row[]): Map<string, Row> {
  return new Map(rows.map((row) => [row.id, row]))
}
