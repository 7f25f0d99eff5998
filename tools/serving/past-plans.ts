// Past plans, as months of drafts that were adopted leave them: copies of the plan in force.
import type pg from 'pg'
import { z } from 'zod'

/** The tables of a plan, those that refer to others last. */
const TABLES = ['PlannedBrew', 'PlannedTransfer', 'FillRun', 'Delivery', 'DeliverySource', 'Dump', 'PlanVerdict']

/** Writes `count` copies of a distributor's plan in force as plans of the past. */
export async function copyPlanInForce(pool: pg.Pool, distributorId: string, count: number): Promise<void> {
  const columns = new Map<string, string[]>()
  for (const table of ['Plan', ...TABLES]) columns.set(table, await columnsOf(pool, table))
  const listed = (table: string, replaced: Record<string, string>) => {
    const names = columns.get(table) ?? []
    const values = names.map((name) => replaced[name] ?? `"${name}"`)
    return { into: `"${table}" (${names.map((name) => `"${name}"`).join(', ')})`, values: values.join(', ') }
  }
  const connection = await pool.connect()
  try {
    for (let copy = 0; copy < count; copy += 1) {
      const id = `'past-${copy}'`
      const plan = listed('Plan', { id, status: `'PAST'::"PlanStatus"`, baselineId: 'NULL', replacedAt: '"adoptedAt"' })
      await connection.query('BEGIN')
      // Copies of rows that keep all constraints keep them too; looking at each again takes minutes.
      await connection.query("SET LOCAL session_replication_role = 'replica'")
      const inForce = `"distributorId" = $1 AND "status" = 'IN_FORCE'`
      await connection.query(`INSERT INTO ${plan.into} SELECT ${plan.values} FROM "Plan" WHERE ${inForce}`, [
        distributorId,
      ])
      for (const table of TABLES) {
        const { into, values } = listed(table, { planId: id })
        await connection.query(
          `INSERT INTO ${into} SELECT ${values} FROM "${table}" WHERE "distributorId" = $1
             AND "planId" = (SELECT "id" FROM "Plan" WHERE ${inForce})`,
          [distributorId],
        )
      }
      await connection.query('COMMIT')
    }
  } finally {
    connection.release()
  }
}

async function columnsOf(pool: pg.Pool, table: string): Promise<string[]> {
  const { rows } = await pool.query(
    `SELECT column_name AS "name" FROM information_schema.columns
     WHERE table_name = $1 AND table_schema = 'public' AND is_generated = 'NEVER'`,
    [table],
  )
  return z
    .array(z.object({ name: z.string() }))
    .parse(rows)
    .map(({ name }) => name)
}
