// Cursors as callers give them: texts that must read as a place in the list that they are given to.
import { decodeBase64, decodeCursorChunk, encodeBase64, encodeCursorTuple } from '@pothos/core'
import { z } from 'zod'
import { $Enums } from '../database/client.ts'

/** Texts as they can stand in a column. */
const text = z.string().refine((given) => !given.includes('\0'))

/** A place in the change feed: distributor, revision, number in it, epoch of the commit. */
export const CHANGE_PLACE = z.tuple([text, z.int32(), z.int32(), text])
/** A place in a snapshot: distributor, number of the kind, id, and the change before the snapshot as above. */
export const THING_PLACE = z.tuple([text, z.int32(), text, z.int32(), z.int32(), text])

/** The values of a cursor by the columns that its list is paged by; the first is the distributor. */
const VALUES = {
  distributorId_id: z.tuple([text, text]),
  distributorId_planId_id: z.tuple([text, text, text]),
  distributorId_planId_n: z.tuple([text, text, z.int32()]),
  distributorId_planId_kind_orderLineId: z.tuple([text, text, z.enum($Enums.VerdictKind), text]),
  distributorId_revision_n: CHANGE_PLACE,
  distributorId_kind_id: THING_PLACE,
  distributorId_planId_kind_decisionId: z.tuple([text, text, z.enum($Enums.DecisionKind), text]),
} satisfies Record<string, z.ZodType>

/** The columns that a list is paged by, as its option `cursor` names them. */
export type Columns = keyof typeof VALUES

/** What the type of a connection carries of its lists. */
export const pagedShape = z.object({
  pagedBy: z.enum(Object.keys(VALUES).filter(isColumns)),
  /** Most entries of one page. Absent: as of all lists. */
  most: z.int().optional(),
})

export type Paged = z.output<typeof pagedShape>

function isColumns(name: string): name is Columns {
  return name in VALUES
}

/** What the builder puts before the values of a cursor. */
const PREFIX = 'GPC:'

/** Whether `cursor` may be a place in a list of the distributor's that is paged by `columns`, such as `distributorId_id`. */
export function isCursor(cursor: unknown, columns: Columns, distributorId: string): boolean {
  if (typeof cursor !== 'string') return false
  const { data } = VALUES[columns].safeParse(valuesOf(cursor))
  return data?.[0] === distributorId
}

/** The values of a cursor that was found to be one of a list (`isCursor`), by the shape of its places; undefined where there is none. */
export function cursorValues<Values>(cursor: string | null | undefined, shape: z.ZodType<Values>): Values | undefined {
  return cursor === null || cursor === undefined ? undefined : shape.parse(valuesOf(cursor))
}

/** A place in a list as callers get it: its values, the distributor first. */
export function encodeCursor(values: readonly (string | number)[]): string {
  return encodeBase64(`${PREFIX}${encodeCursorTuple(values)}`)
}

function valuesOf(cursor: string): unknown {
  try {
    const decoded = decodeBase64(cursor)
    return decoded.startsWith(PREFIX) ? decodeCursorChunk(decoded.slice(PREFIX.length)) : undefined
  } catch {
    // Neither of the two says which texts it throws at.
    return undefined
  }
}
