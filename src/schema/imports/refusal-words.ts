// Why a thing of an import was refused, in a sentence with the names that people know.
import { NotPossible, type Refusal } from '../../errors.ts'
import { notPossibleInWords } from '../../resolvers/orders/short-lines.ts'
import type { Rows } from '../rows.ts'

/** The sentence: where planning rules bind, which they are. */
export function refusalInWords(refusal: Refusal, rows: Rows): string | Promise<string> {
  return refusal instanceof NotPossible
    ? notPossibleInWords(refusal, ({ kind, id }) => rows.nameOf(kind, id))
    : refusal.message
}
