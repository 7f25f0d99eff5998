// Things that come as a table: rows become the input of an import, and what is wrong with that is said by row and column.
import { InvalidInput, type Issue, issue, Refusal } from '../../errors.ts'
import { rowsIn } from '../../tables/read-csv.ts'
import { type ImportResult, MOST_IMPORTED } from '../imports/imported.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { TABLE_IMPORTS, type TableImport } from './imports.ts'
import { readRow } from './read-cells.ts'
import { TABLES } from './tables.ts'

/** An issue with the place in the table that it is about. */
export interface TableIssue extends Issue {
  row: number
  /** Absent: it is about the row as a whole. */
  column?: string | undefined
}

/** What became of one thing of a table. */
export interface TableResult extends ImportResult {
  /** The rows that it came in. */
  rows: readonly number[]
  /** All that is wrong with its input; nothing where it was written or something else is wrong. */
  issues: readonly TableIssue[]
}

export interface TableImported {
  revision: number
  results: TableResult[]
  /** Columns that only the export fills: they were not read. */
  notRead: string[]
}

/** A thing as its rows say it. */
interface Thing {
  rows: number[]
  given: Record<string, unknown>
  lines: Record<string, unknown>[]
  /** What its rows say in different ways. */
  issues: TableIssue[]
}

/** What a table says before any of it is written. */
export interface ReadTable {
  things: Thing[]
  /** How many rows they have together. */
  rows: number
  notRead: string[]
}

/** Most columns of which one refusal says that they are unknown, or repeated: a table may have as many as it has bytes. */
const MOST_NAMED = 100

/** Reads a table. Throws `InvalidInput` where it cannot be read as a whole. */
export async function readTable(name: string, bytes: Uint8Array): Promise<ReadTable> {
  const { columns, needed, lines } = importOf(name)
  const known = new Set([...columns, ...(lines ?? [])].map((column) => column.name))
  let notRead: string[] = []
  const things: Thing[] = []
  const byReference = new Map<unknown, Thing>()
  let rows = 0
  for await (const { row, cells } of rowsIn(bytes, (names) => {
    notRead = judged(name, names, known, needed)
  })) {
    rows += 1
    const given = readRow(columns, cells)
    const earlier = lines && given.externalRef !== null ? byReference.get(given.externalRef) : undefined
    const thing = earlier ?? { rows: [], given, lines: [], issues: [] }
    if (earlier) thing.issues.push(...disagreements(earlier, given, row))
    else things.push(thing)
    byReference.set(given.externalRef, thing)
    thing.rows.push(row)
    if (lines) thing.lines.push(readRow(lines, cells))
    if (things.length > MOST_IMPORTED)
      throw new InvalidInput([
        issue(`rows[${row - 1}]`, 'CSV_TOO_MANY', `begins more than ${MOST_IMPORTED} things, the most of one request`),
      ])
  }
  if (rows === 0) throw new InvalidInput([issue('', 'CSV_NO_ROWS')])
  return { things, rows, notRead }
}

/** Writes what a table says, each thing whole or not at all. */
export async function importTable(
  actor: PlanningActor,
  name: string,
  { things, notRead }: ReadTable,
): Promise<TableImported> {
  const table = importOf(name)
  const inputs = things.filter(({ issues }) => issues.length === 0).map((thing) => inputOf(table, thing))
  const imported = inputs.length === 0 ? undefined : await table.run(actor, { [table.list]: inputs })
  const results = (imported?.results ?? []).values()
  const { client, distributorId } = actor
  const { revision } =
    imported ??
    (await client.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { revision: true } }))
  return { revision, notRead, results: things.map((thing) => resultOf(table, thing, () => results.next().value)) }
}

function importOf(name: string): TableImport {
  const table = TABLE_IMPORTS[name]
  if (!table) throw new Error(`no table ${name} can be sent`)
  return table
}

/** The columns that are not read. Throws `InvalidInput` with all that is wrong with the names. */
function judged(
  name: string,
  names: readonly string[],
  known: ReadonlySet<string>,
  needed: readonly string[],
): string[] {
  const shown = TABLES[name]?.names ?? []
  const seen = new Set<string>()
  const repeated = names.filter((each) => {
    const isRepeated = seen.has(each)
    seen.add(each)
    return isRepeated
  })
  const unknown = names.filter((each) => !known.has(each) && !shown.includes(each))
  const issues = [
    ...repeated
      .slice(0, MOST_NAMED)
      .map((each) => issue(`rows[0].${each}`, 'CSV_REPEATED_COLUMN', `two columns are called "${each}"`)),
    ...unknown
      .slice(0, MOST_NAMED)
      .map((each) =>
        issue(
          `rows[0].${each}`,
          'CSV_UNKNOWN_COLUMN',
          `there is no column "${each}"; there are ${[...known].join(', ')}`,
        ),
      ),
    ...needed
      .filter((each) => !names.includes(each))
      .map((each) => issue(`rows[0].${each}`, 'CSV_MISSING_COLUMN', `the column "${each}" is missing`)),
  ]
  const [first, ...others] = issues
  if (first) throw new InvalidInput([first, ...others])
  return names.filter((each) => !known.has(each))
}

/** What a further row of a thing says otherwise than the first; an empty cell says nothing. */
function disagreements(thing: Thing, given: Record<string, unknown>, row: number): TableIssue[] {
  return Object.entries(given)
    .filter(([field, value]) => value !== null && JSON.stringify(value) !== JSON.stringify(thing.given[field]))
    .map(([column]) => {
      const words = `is not what row ${thing.rows[0]} says of the same order`
      return { ...issue(`rows[${row - 1}].${column}`, 'CSV_ROWS_DISAGREE', words), row, column }
    })
}

function inputOf({ lines }: TableImport, { given, lines: own }: Thing): Record<string, unknown> {
  return lines ? { ...given, lines: own } : given
}

function resultOf(table: TableImport, thing: Thing, next: () => ImportResult | undefined): TableResult {
  const { rows, issues } = thing
  const [first, ...others] = issues
  if (first) {
    const externalRef = typeof thing.given.externalRef === 'string' ? thing.given.externalRef : undefined
    return { externalRef, kind: '', became: new InvalidInput([first, ...others]), rows, issues }
  }
  const result = next()
  if (!result) throw new Error('of each thing it is known what became of it')
  const { became } = result
  const found = became instanceof InvalidInput ? became.issues : []
  return { ...result, rows, issues: found.map((each) => placed(table, thing, each)) }
}

/** Where in the table an issue of the input is. */
function placed({ columns, lines = [] }: TableImport, { rows }: Thing, each: Issue): TableIssue {
  const [, index, ofLine, field] = /^(?:lines\[(\d+)\](?:\.(\w+))?|(\w+))/.exec(each.path) ?? []
  const column =
    index === undefined ? columns.find((one) => one.field === field) : lines.find((one) => one.field === ofLine)
  const row = rows[Number(index ?? 0)] ?? rows[0] ?? 0
  const words = column?.form
    ? `${each.message.replace(/\.$/, '')}; a cell of it looks like this: ${column.form}`
    : each.message
  return { ...each, message: words, row, column: column?.name }
}

/** Whether something was refused only because too much was under way: sent again, it may be written. */
export function isUnsettled({ results }: TableImported): boolean {
  return results.some(({ became }) => became instanceof Refusal && became.kind === 'BUSY')
}
