// Things of the records as answers show them, and what stands for them in the arguments of any root field.
import { isInterfaceType } from 'graphql'
import { z } from 'zod'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { schema } from '../../src/schema/schema.ts'
import { type Filling, PLAIN_LEAVES, type Place } from '../../tools/hostile/walk-schema.ts'

const NODE = schema.getType('Node')
/** All kinds of things that have an id. */
export const KINDS = isInterfaceType(NODE) ? schema.getPossibleTypes(NODE).map(({ name }) => name) : []

/** Ids and references by kind, as answers have them. */
export type Things = Map<string, { id: string; externalRef?: string }>

const nodeShape = z.object({ __typename: z.string(), id: z.string(), externalRef: z.string().nullish() })

/** Notes the things that an answer has. */
export function harvest(things: Things, answer: unknown): void {
  if (typeof answer !== 'object' || answer === null) return
  const node = nodeShape.safeParse(answer)
  if (node.success && KINDS.includes(node.data.__typename)) {
    const { __typename: kind, id, externalRef } = node.data
    const known = things.get(kind)
    if (!known || (!known.externalRef && externalRef)) things.set(kind, { id, ...(externalRef ? { externalRef } : {}) })
  }
  for (const value of Object.values(answer)) harvest(things, value)
}

/** Kinds that a place may name; all, where its names do not say. */
export function kindsOf({ root, path, types }: Omit<Place, 'kind'>): string[] {
  const own = path.filter((name) => !/^(id|ids|externalRef|number|by|input|of)$/.test(name)).reverse()
  for (const hint of [...own, ...[...types].reverse(), root.name]) {
    const word = hint
      .replace(/Input$/, '')
      .replace(/s$/, '')
      .toLowerCase()
    const found = KINDS.filter((kind) => kind.toLowerCase().endsWith(word) || word.endsWith(kind.toLowerCase()))
    if (found.length > 0) return found
  }
  return KINDS
}

/** Fills places with the things' ids. */
export const fillingOf = (things: Things): Filling => ({
  leaves: PLAIN_LEAVES,
  id: (place) =>
    kindsOf(place)
      .map((kind) => things.get(kind)?.id)
      .find((id) => id !== undefined) ?? encodeGlobalId('Site', 'unknown'),
})
