// Every field of every object that queries lead to, asked twice at once under two names: with other arguments where it has any, and all
// that is beneath it with each. Rows are read once for what several fields ask; a field must not take what was read for another for its own.
import { readdir, readFile } from 'node:fs/promises'
import {
  type GraphQLArgument,
  type GraphQLField,
  type GraphQLObjectType,
  getNamedType,
  getNullableType,
  isEnumType,
  isLeafType,
  isObjectType,
  isRequiredArgument,
} from 'graphql'
import { expect, test } from 'vitest'
import { schema } from '../../src/schema/schema.ts'
import { type RootField, rootFields, selectionOf, variablesOf } from '../../tools/hostile/walk-schema.ts'
import { openTestApi } from '../support/api.ts'
import { fillingOf, harvest, type Things } from '../support/things.ts'

const { ask, data, jobs, faults } = await openTestApi({ planned: true })
const ROOTS = rootFields(schema).filter(({ operation }) => operation === 'query')

type Field = GraphQLField<unknown, unknown>

/** A value of an argument for each of the two; undefined: it is not given. */
function valuesOf({ name, type }: GraphQLArgument): [string, string] | undefined {
  const nullable = getNullableType(type)
  if (isEnumType(nullable)) {
    const names = nullable.getValues().map((value) => value.name)
    return [names[0] ?? '', names.at(-1) ?? '']
  }
  if (name === 'first') return ['1', '2']
  return undefined
}

/** `name` twice with other arguments where it has any; undefined where an argument is needed that has no values here. */
function twice(field: Field, selection: string): string | undefined {
  const values = field.args.map((each) => ({ name: each.name, values: valuesOf(each), each }))
  if (values.some(({ each, values }) => isRequiredArgument(each) && !values)) return undefined
  const given = values.flatMap(({ name, values }) => (values ? [{ name, values }] : []))
  const args = (n: 0 | 1) => given.map(({ name, values }) => `${name}: ${values[n]}`).join(', ')
  return ([0, 1] as const).map((n) => `x${n}: ${field.name}${args(n) && `(${args(n)})`} ${selection}`).join(' ')
}

/** A way from a root field to an object: what stands before its selection, and after it. */
interface WayToObject {
  root: RootField
  before: string
  after: string
}

/** The ways to each type of object, the shortest first; no type is gone through twice. */
function waysTo(): Map<GraphQLObjectType, WayToObject[]> {
  const ways = new Map<GraphQLObjectType, WayToObject[]>()
  let step = ROOTS.map((root) => ({ type: getNamedType(root.field.type), way: { root, before: '', after: '' } }))
  for (let length = 0; length < 8; length += 1) {
    const next: typeof step = []
    for (const { type, way } of step) {
      if (!isObjectType(type)) continue
      const known = ways.get(type) ?? []
      if (known.length >= 2) continue
      ways.set(type, [...known, way])
      for (const field of Object.values(type.getFields())) {
        if (isLeafType(getNamedType(field.type)) || field.args.some(isRequiredArgument)) continue
        const beneath = { ...way, before: `${way.before} ${field.name} {`, after: `} ${way.after}` }
        next.push({ type: getNamedType(field.type), way: beneath })
      }
    }
    step = next
  }
  return ways
}

const things: Things = new Map()

/** A query for a selection beneath a root field, with its variables. */
async function askAt({ root, before, after }: WayToObject, selection: string) {
  const variables = variablesOf(root, fillingOf(things))
  const args = root.field.args.filter(({ name }) => name in variables)
  const types = args.map(({ name, type }) => `$${name}: ${type}`).join(', ')
  const given = args.map(({ name }) => `${name}: $${name}`).join(', ')
  return ask(
    `query ${types && `(${types})`} { root: ${root.name}${given && `(${given})`} {${before} ${selection} ${after}} }`,
    variables,
  )
}

await data(`mutation { placeOrder(input: { account: { externalRef: "C-101" }, serveOn: "2027-03-20",
  lines: [{ pack: { externalRef: "MAR-KEG50" }, quantity: 1 }], accept: LATER }) { __typename } }`)
await jobs.settled()
for (const root of ROOTS) {
  const variables = variablesOf(root, fillingOf(things))
  if (Object.keys(variables).length > 0) continue
  const { data: answer } = await askAt({ root, before: '', after: '' }, selectionOf(schema, root.field.type, 2))
  harvest(things, answer)
}

/** Connections and their edges are gone through on the way to what is in them. */
const WAYS = [...waysTo()].flatMap(([type, ways]) =>
  /(Connection|Edge|PageInfo)$/.test(type.name) ? [] : [[type.name, type, ways] as const],
)

/** Asks for several fields at once, or one by one where they are too many; each as deep as the limits allow. Answers the codes of errors. */
async function codesOf(way: WayToObject, fields: readonly Field[], depth: number): Promise<unknown[]> {
  const asked = fields.map((field) => twice(field, selectionOf(schema, field.type, depth)) ?? '').join(' ')
  if (asked.trim() === '') return []
  const codes = ((await askAt(way, asked)).errors ?? []).map(({ extensions }) => extensions?.code)
  if (!codes.some((code) => String(code).startsWith('QUERY_TOO')) || depth === 0) return codes
  if (fields.length === 1) return codesOf(way, fields, depth - 1)
  return (await Promise.all(fields.map((field) => codesOf(way, [field], depth)))).flat()
}

test.each(WAYS)('%s answers each of its fields that is asked twice', async (_, type, ways) => {
  const fields = Object.values(type.getFields()).filter(
    (field) => field.args.length > 0 || !isLeafType(getNamedType(field.type)),
  )
  for (const way of ways) expect(await codesOf(way, fields, 1)).not.toContain('UNEXPECTED')
  expect(faults.splice(0)).toEqual([])
})

test('no resolver leaves the selection of a query unused that counts as read', async () => {
  const folder = new URL('../../src/schema/', import.meta.url)
  const names = await readdir(folder, { recursive: true })
  const sources = await Promise.all(
    names
      .filter((name) => name.endsWith('.ts'))
      .map(async (name) => [name, await readFile(new URL(name, folder), 'utf8')]),
  )
  expect(sources.filter(([, text = '']) => /resolve: (async )?\(_query\b/.test(text)).map(([name]) => name)).toEqual([])
})
