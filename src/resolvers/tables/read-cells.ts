// What the columns of a table say to the input of an import. A cell that is not of the right form is handed on as it is, so that
// the use-case itself says what is wrong with it.
import { refIn, textsIn, withoutApostrophe } from '../../tables/cells.ts'

/** How one column is read. */
export interface ReadColumn {
  name: string
  /** The field of the input that it gives. */
  field: string
  read: (cell: string) => unknown
  /** What a cell looks like, where that is not plain. */
  form?: string
}

const text = (cell: string): unknown => cell
const number = (cell: string): unknown => (/^\s*-?\d+(\.\d+)?(e-?\d+)?\s*$/i.test(cell) ? Number(cell) : cell)
const truth = (cell: string): unknown => ({ true: true, false: false })[cell.trim().toLowerCase()] ?? cell

/** Columns of plain values: text and days, numbers, and what is true or false. */
export const texts = (...names: string[]) => names.map((name): ReadColumn => ({ name, field: name, read: text }))
export const numbers = (...names: string[]) => names.map((name): ReadColumn => ({ name, field: name, read: number }))
export const truths = (...names: string[]) => names.map((name): ReadColumn => ({ name, field: name, read: truth }))

/** Columns that name things. */
export const refs = (...names: string[]) => names.map((name): ReadColumn => ({ name, field: name, read: refIn }))

/** A column that holds several. */
export function several(name: string, readOne: (part: string) => unknown, form: string): ReadColumn {
  return { name, field: name, read: (cell) => textsIn(cell).map(readOne), form }
}

export const refList = (name: string) => several(name, refIn, 'references with ; between them')
export const textList = (name: string) => several(name, text, 'texts with ; between them')
export const weekdays = (name: string) => several(name, number, '1;2;5 for Monday, Tuesday and Friday')

/** A window as `1,2,3 10:00-12:00`; without weekdays it is of all. */
export function windowIn(part: string): unknown {
  const [, days, from, to] = /^(?:([\d, ]+)\s+)?(\S+?)\s*-\s*(\S+)$/.exec(part) ?? []
  if (from === undefined) return part
  return { ...(days === undefined ? {} : { weekdays: days.split(',').map(number) }), from, to }
}

/** A return as `2027-03-01 x 12`. */
export function returnIn(part: string): unknown {
  const [, on, quantity] = /^(\S+)\s*x\s*(\S+)$/.exec(part) ?? []
  return on === undefined || quantity === undefined ? part : { on, quantity: number(quantity) }
}

/** What a row says by these columns: nothing of columns that it does not have; null where a cell is empty. */
export function readRow(columns: readonly ReadColumn[], cells: ReadonlyMap<string, string>): Record<string, unknown> {
  return Object.fromEntries(
    columns.flatMap(({ name, field, read }) => {
      const cell = cells.get(name)
      if (cell === undefined) return []
      return [[field, cell === '' ? null : read(withoutApostrophe(cell))]]
    }),
  )
}
