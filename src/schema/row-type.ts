// Types of rows for fields that answer rows read together by id (rows.ts) instead of by the selection of the query. A `prismaField` counts
// as having loaded all that is selected beneath it: where its row was read otherwise, what is selected from other tables is missing.
import { ObjectRef } from '@pothos/core'
import { builder } from './builder.ts'
import type PrismaTypes from './generated/pothos.ts'

/** The type of a row's kind for `t.field`: what is asked of the row beyond its own columns is read by itself. */
export function rowType<Kind extends keyof PrismaTypes>(
  kind: Kind,
): ObjectRef<typeof builder.$inferSchemaTypes, PrismaTypes[Kind]['Shape']> {
  const ref = new ObjectRef<typeof builder.$inferSchemaTypes, PrismaTypes[Kind]['Shape']>(kind)
  builder.configStore.associateParamWithRef(ref, kind)
  return ref
}
