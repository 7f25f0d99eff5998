// Reads CSV (RFC 4180) as it comes from a spreadsheet or another system: rows by the names of their columns. Rows are counted as
// spreadsheets count them: the names of the columns stand in row 1.
import { isUtf8 } from 'node:buffer'
import { Readable } from 'node:stream'
import { setImmediate as letOthers } from 'node:timers/promises'
import { CsvError, parse } from 'csv-parse'
import { z } from 'zod'
import { InvalidInput, issue } from '../errors.ts'

/** A row of a table. */
export interface TableRow {
  row: number
  /** What its cells hold, by the names of the columns. */
  cells: ReadonlyMap<string, string>
}

/** Bytes that are read at a time: others get their turn between them. */
const SLICE = 65_536

/**
 * The rows of a table one after the other; lines without anything in them are left out. `judge` looks at the names of the columns.
 * Throws `InvalidInput` where the text is no table; its path
 * counts rows from 0, as lists do, its message as spreadsheets do.
 */
export async function* rowsIn(
  bytes: Uint8Array,
  judge: (names: readonly string[]) => void,
): AsyncGenerator<TableRow, void> {
  requireUtf8(bytes)
  let names: readonly string[] | undefined
  let row = 0
  try {
    for await (const read of Readable.from(slicesOf(bytes)).compose(parse(HOW))) {
      const cells = record.parse(read)
      row += 1
      if (cells.length === 1 && cells[0] === '') continue
      if (names === undefined) {
        names = cells.map((name) => name.trim())
        judge(names)
      } else yield { row, cells: byName(names, cells, row) }
    }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    // It may be known before the rows in front of it are read.
    throw refused(found.parse(error).records + 1, 'CSV_BAD_QUOTES', error.message)
  }
  if (names === undefined) throw new InvalidInput([issue('', 'CSV_NO_ROWS')])
}

const HOW = { bom: true, relax_column_count: true, record_delimiter: ['\r\n', '\n', '\r'] }
const record = z.array(z.string())
/** What a fault of the parser says: how many rows it had read. */
const found = z.object({ records: z.int() })

function byName(names: readonly string[], cells: readonly string[], row: number): Map<string, string> {
  if (cells.length !== names.length)
    throw refused(row, 'CSV_CELLS_DIFFER', `has ${cells.length} cells, and there are ${names.length} columns`)
  return new Map(names.map((name, index) => [name, cells[index] ?? '']))
}

function refused(
  row: number,
  code: 'CSV_BAD_QUOTES' | 'CSV_CELLS_DIFFER' | 'CSV_WRONG_ENCODING',
  words: string,
): InvalidInput {
  return new InvalidInput([issue(`rows[${row - 1}]`, code, words)])
}

async function* slicesOf(bytes: Uint8Array): AsyncGenerator<Uint8Array, void> {
  for (let from = 0; from < bytes.length; from += SLICE) {
    yield bytes.subarray(from, from + SLICE)
    await letOthers()
  }
}

/** Throws where the bytes are not UTF-8, with the line in which that shows. */
function requireUtf8(bytes: Uint8Array): void {
  if (isUtf8(bytes)) return
  let line = 1
  for (let from = 0; from < bytes.length; line += 1) {
    const end = bytes.indexOf(0x0a, from)
    const to = end < 0 ? bytes.length : end + 1
    if (!isUtf8(bytes.subarray(from, to))) break
    from = to
  }
  throw refused(line, 'CSV_WRONG_ENCODING', 'is not in UTF-8')
}
