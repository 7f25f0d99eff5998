// The contract with callers: the check of breaking changes, deprecations, and the files that are printed from the code.
import { readFile } from 'node:fs/promises'
import {
  buildSchema,
  type GraphQLSchema,
  getNamedType,
  isEnumType,
  isInputObjectType,
  isInterfaceType,
  isObjectType,
} from 'graphql'
import { expect, test } from 'vitest'
import { ERROR_CATALOGUE } from '../../../src/error-catalogue.ts'
import { schemaText } from '../../../src/schema/print-schema.ts'
import { ACCEPTED_BREAKS } from '../../../tools/contract/accepted-breaks.ts'
import { breakFaults, ownBreakFaults } from '../../../tools/contract/breaking-changes.ts'
import { PRINTED_FILES } from '../../../tools/contract/printed.ts'

const RELEASED = `
  enum Size { PIN FIRKIN }
  input Ask { pack: ID!, quantity: Int }
  type Beer { name: String!, style: String }
  type Query { beers(first: Int): [Beer!], find(ask: Ask, size: Size): Beer }`

const changed = (from: string, to: string) =>
  breakFaults(buildSchema(RELEASED), buildSchema(RELEASED.replace(from, to)), [])

test('what breaks a client is found: a field or an argument that goes, another type, less that may be null, more that is asked for', () => {
  for (const [from, to, words] of [
    [', style: String', '', 'Beer.style was removed'],
    ['beers(first: Int)', 'beers', 'Query.beers arg first was removed'],
    ['name: String!', 'name: String', 'Beer.name changed type from String! to String'],
    ['quantity: Int', 'quantity: Int!', 'Ask.quantity changed type from Int to Int!'],
    ['quantity: Int', 'quantity: Int, day: String!', 'A required field day on input type Ask was added'],
    ['PIN FIRKIN', 'PIN', 'FIRKIN was removed from enum type Size'],
  ] as const)
    expect(changed(from, to).unmarked).toEqual([expect.stringContaining(words)])
})

test('what only adds breaks no client', () => {
  expect(changed(', style: String', ', style: String, abv: Float').unmarked).toEqual([])
  expect(changed('quantity: Int', 'quantity: Int, note: String').unmarked).toEqual([])
})

test('a break that is marked is accepted, and a mark of nothing is a fault', () => {
  const now = buildSchema(RELEASED.replace(', style: String', ''))
  const mark = { change: 'Beer.style was removed.', why: 'No beer had one.' }
  expect(breakFaults(buildSchema(RELEASED), now, [mark])).toEqual({ unmarked: [], stale: [] })
  expect(breakFaults(now, now, [mark])).toEqual({ unmarked: [], stale: [mark.change] })
})

test('the schema breaks no client of the released one, but for what is marked with a reason', () => {
  expect(ownBreakFaults(), 'see npm run schema:check').toEqual({ unmarked: [], stale: [] })
  for (const { change, why } of ACCEPTED_BREAKS) expect(why, change).toMatch(/^[A-Z].{10,}[.]$/)
})

/** What is deprecated without a sentence that says what takes its place. */
function unexplained(schema: GraphQLSchema): string[] {
  const deprecated = Object.values(schema.getTypeMap()).flatMap((type) => {
    if (type.name.startsWith('__')) return []
    const fields = isObjectType(type) || isInterfaceType(type) ? Object.values(type.getFields()) : []
    const parts = [
      ...fields,
      ...fields.flatMap(({ args }) => args),
      ...(isInputObjectType(type) ? Object.values(type.getFields()) : []),
      ...(isEnumType(type) ? type.getValues() : []),
    ]
    return parts.map(({ name, deprecationReason }) => ({
      name: `${getNamedType(type).name}.${name}`,
      deprecationReason,
    }))
  })
  return deprecated.flatMap(({ name, deprecationReason: reason }) =>
    typeof reason === 'string' && !/^Use `[^`]+`.*[.]$/.test(reason) ? [name] : [],
  )
}

test('whatever is deprecated says what to use instead', () => {
  const bare = buildSchema(`
    enum Size { PIN @deprecated }
    input Ask { pack: ID @deprecated(reason: "old") }
    type Query { beers(a: Int @deprecated): Int, find(ask: Ask): Int @deprecated(reason: "Use \`beers\`: it pages.") }`)
  expect(unexplained(bare).toSorted()).toEqual(['Ask.pack', 'Query.a', 'Size.PIN'])
  expect(unexplained(buildSchema(schemaText()))).toEqual([])
})

test.each(Object.keys(PRINTED_FILES))('%s is as the code prints it', async (path) => {
  const kept = await readFile(new URL(`../../../${path}`, import.meta.url), 'utf8')
  expect(kept, 'run: npm run schema:print').toBe(PRINTED_FILES[path]?.())
})

test('the page of errors lists every code once, and none that there is not', async () => {
  const page = await readFile(new URL('../../../docs/errors.md', import.meta.url), 'utf8')
  const listed = [...page.matchAll(/^\| `([A-Z_]+)` \| (\d+) \|/gm)].map(([, code, status]) => [code, Number(status)])
  const codes = [...ERROR_CATALOGUE].map(([code, { status }]) => [code, status])
  expect(listed.toSorted()).toEqual(codes.toSorted())
})
