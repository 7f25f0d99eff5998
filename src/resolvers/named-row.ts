// The row that an input names by its global id alone.
import { NotFound } from '../errors.ts'
import { Faults } from './faults.ts'
import { rowIdIn } from './global-id.ts'
import type { Reading } from './read-input.ts'

/** The row of a kind that stands at `path`, with what is wrong with the input so far. Throws `NotFound`, or all that is wrong, where there is none. */
export async function namedRow<Path extends string, Row>(
  reading: Reading<{ [Name in Path]: string }>,
  path: Path,
  kind: string,
  find: (id: string) => Promise<Row | null>,
): Promise<{ row: Row; faults: Faults }> {
  const text = reading.given[path]
  const id = rowIdIn(kind, text)
  const row = id === undefined ? null : await find(id)
  const faults = new Faults()
  faults.take(reading)
  if (!row) return faults.giveUp(path, new NotFound(kind, text))
  return { row, faults }
}
