// Walks the schema as it is printed and holds it to the conventions of the API.
import { readFile } from 'node:fs/promises'
import {
  buildSchema,
  type GraphQLField,
  type GraphQLNamedType,
  getNamedType,
  isEnumType,
  isInputObjectType,
  isInterfaceType,
  isIntrospectionType,
  isListType,
  isNonNullType,
  isObjectType,
  isSpecifiedScalarType,
  isUnionType,
} from 'graphql'
import { expect, test } from 'vitest'
import { schemaText } from '../../src/schema/print-schema.ts'
import { ALL_SCOPES } from '../../src/scopes.ts'

const schema = buildSchema(schemaText())
const types = Object.values(schema.getTypeMap()).filter(
  (type) => !isIntrospectionType(type) && !isSpecifiedScalarType(type),
)

type Field = GraphQLField<unknown, unknown>

function fieldsOf(type: GraphQLNamedType): Field[] {
  return isObjectType(type) || isInterfaceType(type) ? Object.values(type.getFields()) : []
}

test('the printed schema in the repository is the schema', async () => {
  const printed = await readFile(new URL('../../src/schema/schema.graphql', import.meta.url), 'utf8')
  expect(printed, 'run: npm run schema:print').toBe(schemaText())
})

test('every type, field, argument, input field and enum value has a description', () => {
  const bare = types.flatMap((type) => [
    ...(type.description ? [] : [type.name]),
    ...fieldsOf(type).flatMap((field) => [
      ...(field.description ? [] : [`${type.name}.${field.name}`]),
      ...field.args.filter((arg) => !arg.description).map((arg) => `${type.name}.${field.name}(${arg.name}:)`),
    ]),
    ...(isInputObjectType(type)
      ? Object.values(type.getFields())
          .filter(({ description }) => !description)
          .map(({ name }) => `${type.name}.${name}`)
      : []),
    ...(isEnumType(type)
      ? type
          .getValues()
          .filter(({ description }) => !description)
          .map(({ name }) => `${type.name}.${name}`)
      : []),
  ])
  expect(bare).toEqual([])
})

const roots = [schema.getQueryType(), schema.getMutationType(), schema.getSubscriptionType()].flatMap((type) =>
  type ? fieldsOf(type).map((field) => ({ root: type.name, field })) : [],
)

test('every root field names the scope that it needs', () => {
  const named = /Scope: (?:any key\b|`([a-z:]+)`)/
  const wrong = roots.filter(({ field }) => {
    const match = named.exec(field.description ?? '')
    return !match || (match[1] !== undefined && !ALL_SCOPES.some((scope) => scope === match[1]))
  })
  expect(wrong.map(({ field }) => field.name)).toEqual([])
})

test('no mutation will do with any key', () => {
  const open = roots.filter(({ root, field }) => root === 'Mutation' && !/Scope: `/.test(field.description ?? ''))
  expect(open.map(({ field }) => field.name)).toEqual([])
})

test('every mutation takes one input and answers a payload or typed errors', () => {
  const wrong = roots
    .filter(({ root }) => root === 'Mutation')
    .filter(({ field }) => {
      const [arg, ...others] = field.args
      const result = getNamedType(field.type)
      const members = isUnionType(result) ? result.getTypes().map(({ name }) => name) : []
      return (
        arg?.name !== 'input' ||
        others.length > 0 ||
        !isNonNullType(arg.type) ||
        !['InvalidInput', 'Forbidden'].every((name) => members.includes(name))
      )
    })
  expect(wrong.map(({ field }) => field.name)).toEqual([])
})

test('every list is a page of a connection or states its maximum', () => {
  const maximum = /\bat most\b|\bone for each\b/i
  const endless = types.flatMap((type) => {
    if (type.name.endsWith('Connection')) return []
    const outputs = fieldsOf(type)
    const inputs = isInputObjectType(type) ? Object.values(type.getFields()) : outputs.flatMap(({ args }) => args)
    return [...outputs, ...inputs]
      .filter((field) => isListType(isNonNullType(field.type) ? field.type.ofType : field.type))
      .filter((field) => !maximum.test(field.description ?? ''))
      .map(({ name }) => `${type.name}.${name}`)
  })
  expect(endless).toEqual([])
})

test('every connection counts and takes first, last, before and after', () => {
  const wrong = types.flatMap((type) =>
    fieldsOf(type)
      .filter((field) => getNamedType(field.type).name.endsWith('Connection'))
      .filter((field) => {
        const connection = getNamedType(field.type)
        const counts = fieldsOf(connection).some(({ name }) => name === 'totalCount')
        const names = new Set(field.args.map(({ name }) => name))
        return !counts || !['first', 'last', 'before', 'after'].every((name) => names.has(name))
      })
      .map(({ name }) => `${type.name}.${name}`),
  )
  expect(wrong).toEqual([])
})
