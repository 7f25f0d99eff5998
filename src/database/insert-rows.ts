// Thousands of rows in one statement. Prisma's own createMany takes most of a millisecond a row to put its statement
// together; here the rows travel as one JSON value and the database takes them apart.
import { Prisma, type TransactionClient } from './client.ts'

type Model = Prisma.ModelName
type ModelTypes = Prisma.TypeMap['model']

/** What `createMany` takes for one row of a model. */
export type NewRow<Name extends Model> = Extract<
  NonNullable<ModelTypes[Name]['operations']['createMany']['args']>['data'],
  readonly unknown[]
>[number]

/** Inserts `rows` of a model. As with `createMany`, a field that is undefined or left out takes the column's default. */
export async function insertRows<Name extends Model>(
  tx: TransactionClient,
  model: Name,
  rows: readonly NewRow<Name>[],
): Promise<void> {
  const alike = new Map<string, object[]>()
  for (const row of rows) {
    const given = Object.entries(row).filter(([, value]) => value !== undefined)
    const columns = given.map(([column]) => `"${column}"`).join(', ')
    const group = alike.get(columns)
    if (group) group.push(row)
    else alike.set(columns, [row])
  }
  const table = Prisma.raw(`"${model}"`)
  for (const [columns, group] of alike) {
    const names = Prisma.raw(columns)
    await tx.$executeRaw`
      INSERT INTO ${table} (${names})
      SELECT ${names} FROM jsonb_populate_recordset(NULL::${table}, ${JSON.stringify(group)}::jsonb)`
  }
}
