// What every set-up noun has: a look-up, a list in pages, and the payload of its mutations. A noun's file says which table
// it is, so that the types of rows stay Prisma's own.
import type { InputRef } from '@pothos/core'
import type { ThingKind } from '../../resolvers/thing-ref.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { needs } from '../needs.ts'
import { repairFields } from '../plans/repair-fields.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { fieldOfKind, oneOfKind, wordsOfKind } from './kind-words.ts'
import { idOf, revisionField, rowKey } from './setup.ts'

type Types = typeof builder.$inferSchemaTypes

/** The order of a list of things with names. */
export const BY_NAME = [{ name: 'asc' as const }, { id: 'asc' as const }]
/** The order of a list of things without names. */
export const BY_ID = [{ id: 'asc' as const }]

/** Where one row is found, together with the selection of the query. */
type RowQuery = { where: ReturnType<typeof rowKey> }

const byArgs = builder.args((t) => ({
  by: t.field({ type: ThingRefInput, required: true, description: 'Which one.' }),
}))

/** Options of the field that looks one thing up by id or reference. Throws `InvalidInput`, `NotFound`. */
export function lookUp<Row>(kind: ThingKind, find: (context: Context, found: RowQuery) => PromiseLike<Row>) {
  return {
    ...needs('any', `One ${wordsOfKind(kind)}.`),
    nullable: true as const,
    args: byArgs,
    resolve: async (query: object, _root: unknown, { by }: { by?: unknown }, context: Context) =>
      find(context, { ...query, where: rowKey(context, await idOf(context, kind, by)) }),
  }
}

interface Listing<Where, Order, Rows> {
  /** The input type of its filter, and the condition that the filter stands for. */
  filter: InputRef<unknown>
  where: (context: Context, args: { filter?: unknown }) => Where | Promise<Where>
  order: Order
  read: (context: Context, page: { where: Where; orderBy: Order }) => PromiseLike<Rows>
  count: (context: Context, where: Where) => Promise<number>
}

/** Options of the field that lists things of a kind. */
export function listOf<Where, Order extends readonly object[], Rows>(
  plural: string,
  { filter, where, order, read, count }: Listing<Where, Order, Rows>,
) {
  const Plural = plural.charAt(0).toUpperCase() + plural.slice(1)
  const orderWords = order.length > 1 ? 'name' : 'id'
  return {
    ...needs('any', `${Plural} in order of ${orderWords}.`),
    nullable: true as const,
    args: builder.args((t) => ({ filter: t.field({ type: filter, description: `Which ${plural}. Absent: all.` }) })),
    resolve: async (query: object, _root: unknown, args: { filter?: unknown }, context: Context) =>
      read(context, { ...query, where: await where(context, args), orderBy: order }),
    totalCount: async (_root: unknown, args: { filter?: unknown }, context: Context) =>
      count(context, await where(context, args)),
  }
}

type PayloadFields = PothosSchemaTypes.ObjectFieldBuilder<Types, Written>

/** The payload of the mutations of a kind: the thing as it is now, and the revision. */
export function payloadOf(kind: ThingKind, thing: (t: PayloadFields) => ReturnType<PayloadFields['field']>) {
  const one = oneOfKind(kind)
  return builder.objectRef<Written>(`${kind}Payload`).implement({
    description: `${one.charAt(0).toUpperCase()}${one.slice(1)} that was written.`,
    fields: (t) => ({
      revision: revisionField(t),
      [fieldOfKind(kind)]: thing(t),
      ...repairFields(t),
    }),
  })
}

/** Options of the payload's field that shows the thing. */
export function written<Row>(kind: ThingKind, find: (context: Context, found: RowQuery) => PromiseLike<Row>) {
  return {
    description: `The ${wordsOfKind(kind)} as it is now.`,
    resolve: async (query: object, { id }: Written, _args: object, context: Context) =>
      find(context, { ...query, where: rowKey(context, id) }),
  }
}
