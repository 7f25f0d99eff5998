// What refusals may tell a key of: the same as the types of the schema let it read.
import { isObjectType } from 'graphql'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { mayReadWith } from '../../../src/resolvers/access/may-read.ts'
import { schema } from '../../../src/schema/schema.ts'
import { ALL_SCOPES, type Scope } from '../../../src/scopes.ts'

/** What the builder keeps of a type's options: the scope, or what chooses one by the caller. */
const options = z.object({
  pothosOptions: z.object({
    authScopes: z
      .union([
        z.object({ scope: z.string() }),
        z.function({ input: [z.unknown(), z.unknown()], output: z.object({ scope: z.string() }) }),
      ])
      .optional(),
  }),
})

/** Whether the schema lets a key with these scopes read the fields of a type. */
function isReadable(type: { name: string; extensions: unknown }, scopes: ReadonlySet<Scope>): boolean {
  const { authScopes } = options.parse(type.extensions).pothosOptions
  if (authScopes === undefined) return true
  const { scope } = typeof authScopes === 'function' ? authScopes({}, { caller: { scopes } }) : authScopes
  return [...scopes].some((each) => each === scope)
}

const nodes = Object.values(schema.getTypeMap())
  .filter(isObjectType)
  .filter((type) => type.getInterfaces().some(({ name }) => name === 'Node'))

test('a key may hear of a kind of record exactly where the schema lets it read its fields, scope by scope', () => {
  expect(nodes.length).toBeGreaterThan(15)
  for (const scope of ALL_SCOPES) {
    const scopes = new Set([scope])
    const heard = nodes.filter(({ name }) => mayReadWith(scopes)(name)).map(({ name }) => name)
    expect(heard, scope).toEqual(nodes.filter((type) => isReadable(type, scopes)).map(({ name }) => name))
  }
})

test('of a kind that is not known no key hears anything', () => {
  expect(mayReadWith(new Set(ALL_SCOPES))('Secret')).toBe(false)
})
