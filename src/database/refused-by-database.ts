// What the database itself refuses, in the catalogue's words: the last fence, behind the checks that say it better; and
// what it does not answer in time.

import { Conflict, InvalidInput, issue, type Refusal } from '../errors.ts'
import { Prisma } from './client.ts'
import { unavailable } from './unavailable.ts'

/** The refusal that a database error stands for; undefined where it is some other fault. */
export function refusedByDatabase(error: unknown): Refusal | undefined {
  const away = unavailable(error)
  if (away) return away
  if (!(error instanceof Prisma.PrismaClientKnownRequestError)) return undefined
  if (error.code === 'P2002') return new Conflict('EXTERNAL_REF_TAKEN')
  // A failed check constraint, a foreign key, a value that does not fit its column.
  if (['P2003', 'P2004', 'P2020', 'P2033'].includes(error.code))
    return new InvalidInput([issue('', 'REJECTED_BY_RECORDS')])
  // A NUL character in a text (SQLSTATE 22021).
  if (JSON.stringify(error.meta ?? {}).includes('"22021"')) return new InvalidInput([issue('', 'BAD_TEXT')])
  return undefined
}
