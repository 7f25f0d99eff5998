// The scope of a kind of thing is asked for before a thing of it is looked up by its id: whether there is one is not said without it.
import type { GraphQLSchema } from 'graphql'
import { z } from 'zod'
import { isScope, type Scope } from '../scopes.ts'
import type { Context } from './context.ts'

type ByCaller = (thing: undefined, context: Context) => unknown

const needed = z.object({ scope: z.custom<Scope>((value) => typeof value === 'string' && isScope(value)) })
/** What a type says of its scope, to the plugin that asks for it where one of its fields is read. */
const ofType = z.object({
  pothosOptions: z.object({
    authScopes: z.union([needed, z.custom<ByCaller>((value) => typeof value === 'function')]),
  }),
})

/** Throws `Forbidden` where the caller may not read things of this kind. */
export function requireOfKind(context: Context, schema: GraphQLSchema, kind: string): void {
  const found = ofType.safeParse(schema.getType(kind)?.extensions)
  // A kind without a scope is for any key.
  if (!found.success) return
  const { authScopes } = found.data.pothosOptions
  const { scope } = typeof authScopes === 'function' ? needed.parse(authScopes(undefined, context)) : authScopes
  context.require(scope)
}
