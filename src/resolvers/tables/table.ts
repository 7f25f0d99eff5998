// A table that is sent line by line: its columns, and its rows in pages, each behind the last row of the page before.
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import type { PrismaClient } from '../../database/client.ts'
import type { Scope } from '../../scopes.ts'
import { type Cell, csvLine, refText } from '../../tables/cells.ts'
import { nextTurn } from '../../thread-turns.ts'
import { encodeGlobalId } from '../global-id.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'

/** A column of a table of such rows. */
export interface Column<Row> {
  name: string
  /** What its cell holds. */
  of: (row: Row) => Cell
}

/** What a request may read of a table. */
export interface OpenTable {
  /** How many values it has about now. */
  values: number
  /** The text of the table: the line of the names with the first page, then each page. Throws where the database is away. */
  text: () => AsyncGenerator<string, void>
}

export interface Table {
  /** What a key needs to read it. */
  scope: Scope | 'any'
  /** The names of its columns. */
  names: readonly string[]
  /** Whether its rows follow from the plan, so that it waits for its turn to ask the planner. */
  asksPlanner: boolean
  /** Opens it for a caller. Throws `InvalidInput` where a parameter is none of its own, `NotFound` where it names what is not there. */
  open: (actor: PlanningActor, parameters: Record<string, string>) => Promise<OpenTable>
}

/** What a caller may read, and how much of it there is. */
export interface Found<Row> {
  /** How many things the rows are of. */
  count: number
  /** Rows behind one, in the order of the table; none: there are no more. Absent `after`: from the first on. */
  page: (after: Row | undefined) => Promise<readonly Row[]>
}

/** A table of what `read` finds. */
export function tableOf<Row>(
  scope: Table['scope'],
  columns: readonly Column<Row>[],
  read: (actor: PlanningActor, parameters: Record<string, string>) => Promise<Found<Row>>,
  { asksPlanner = false } = {},
): Table {
  return {
    scope,
    asksPlanner,
    names: columns.map(({ name }) => name),
    open: async (actor, parameters) => {
      const { count, page } = await read(actor, parameters)
      return { values: (count + 1) * columns.length, text: () => linesOf(columns, page) }
    },
  }
}

async function* linesOf<Row>(columns: readonly Column<Row>[], page: Found<Row>['page']): AsyncGenerator<string, void> {
  const textOf = (rows: readonly Row[]) => rows.map((row) => csvLine(columns.map(({ of }) => of(row)))).join('')
  let rows = await page(undefined)
  yield csvLine(columns.map(({ name }) => name)) + textOf(rows)
  while (rows.length > 0) {
    await nextTurn()
    rows = await page(rows.at(-1))
    if (rows.length > 0) yield textOf(rows)
  }
}

/** What a row that is named in a cell is read with. */
export const NAMED = { select: { id: true, externalRef: true, name: true } } as const

/** How a cell names a thing of a kind; nothing where there is none. */
export function named(kind: string, row: { id: string; externalRef: string | null } | null | undefined): Cell {
  return row && refText({ externalRef: row.externalRef, id: encodeGlobalId(kind, row.id) })
}

/** Columns that hold values of a row, by the names that it has for them. */
export function own<Name extends string>(...names: readonly Name[]): Column<Record<Name, Cell>>[] {
  return names.map((name) => ({ name, of: (row) => row[name] }))
}

/** A column of days. */
export function dayOwn<Name extends string>(name: Name): Column<Record<Name, Date | null>> {
  return { name, of: (row) => row[name] && dayOf(row[name]) }
}

/** A column of instants. */
export function instantOwn<Name extends string>(name: Name): Column<Record<Name, Date | null>> {
  return { name, of: (row) => row[name]?.toISOString() }
}

/** Which rows a page of a table by id has. */
export interface PageById {
  where: { distributorId: string; id?: { gt: string } }
  orderBy: { id: 'asc' }
  take: number
}

/** How rows of a kind are found. */
interface RowsById<Row> {
  /** Rows of one page. */
  perPage: number
  count: (client: PrismaClient, asked: Pick<PageById, 'where'>) => Promise<number>
  page: (client: PrismaClient, asked: PageById) => Promise<Row[]>
}

/** A table of all rows of a kind, in order of their ids, for every key. It takes no parameters. */
export function tableById<Row extends { id: string }>(
  columns: readonly Column<Row>[],
  { perPage, count, page }: RowsById<Row>,
): Table {
  return tableOf('any', columns, async ({ client, distributorId }, parameters) => {
    withoutParameters(parameters)
    return {
      count: await count(client, { where: { distributorId } }),
      page: (after) =>
        page(client, {
          where: { distributorId, ...(after && { id: { gt: after.id } }) },
          ...{ orderBy: { id: 'asc' }, take: perPage },
        }),
    }
  })
}

/** Throws `InvalidInput` where there are parameters: the table takes none. */
export function withoutParameters(parameters: Record<string, string>): void {
  parseInput(z.strictObject({}), parameters)
}
