// Every number that the API answers is rounded to what it means, and its description says so.
import { buildSchema, GraphQLFloat, getNullableType, isObjectType } from 'graphql'
import { beforeAll, expect, test } from 'vitest'
import { schemaText } from '../../src/schema/print-schema.ts'
import { rounded } from '../../src/schema/round-numbers.ts'
import { openTestApi } from '../support/api.ts'

const schema = buildSchema(schemaText())

test('the description of every Float that is answered says to what it is rounded', () => {
  const silent = Object.values(schema.getTypeMap()).flatMap((type) =>
    isObjectType(type)
      ? Object.values(type.getFields())
          .filter((field) => getNullableType(field.type) === GraphQLFloat)
          .filter((field) => !/Rounded (down )?to 0\.0*1\.$/.test(field.description ?? ''))
          .map((field) => `${type.name}.${field.name}`)
      : [],
  )
  expect(silent).toEqual([])
})

test.each([
  [0.1 + 0.2, { digits: 2 }, 0.3],
  [1234.56789, { digits: 3 }, 1234.568],
  [-0.0004, { digits: 3 }, 0],
  [879248.4841865, { digits: 2 }, 879248.48],
  [0.99999, { digits: 4, down: true }, 0.9999],
  [0.29, { digits: 2, down: true }, 0.29],
  [1.005 * 1000, { digits: 2, down: true }, 1005],
] as const)('%d is rounded (%o) to %d', (value, to, result) => {
  expect(Object.is(rounded(value, to), result)).toBe(true)
})

let data: Awaited<ReturnType<typeof openTestApi>>['data']
beforeAll(async () => {
  ;({ data } = await openTestApi({ planned: true }))
})

const WHOLE = `{
  containerTypes(first: 50) { edges { node { nominalLitres overfillFraction volume(unit: IMPERIAL_GALLON) } } }
  batches(first: 50) { edges { node { litres } } }
  planInForce {
    costTotal cost { amount } lowerBound gap
    service { litresWanted litresOnTime onTimeShare litresLate litresUnserved litresDumped }
    brews(first: 200) { edges { node { litres } } }
    transfers(first: 200) { edges { node { litres } } }
    dumps(first: 200) { edges { node { litres } } }
    vesselTimeline { spans { litres } }
    fillerLoad { minutesUsed minutesAvailable }
    storeLoad { litres capacityLitres }
    routeLoad { litres capacityLitres }
  }
}`

/** The numbers of an answer, each by the path of its names. */
function numbersIn(value: unknown, path = ''): [path: string, value: number][] {
  if (typeof value === 'number') return [[path, value]]
  if (value === null || typeof value !== 'object') return []
  return Object.entries(value).flatMap(([key, inner]) =>
    numbersIn(inner, Array.isArray(value) ? path : `${path}.${key}`),
  )
}

const digitsOf = (value: number) => String(value).split('.')[1]?.length ?? 0

test('no answer about the demo and its plan has digits that mean nothing', async () => {
  const numbers = numbersIn(await data(WHOLE, {}, 'admin'))
  const mostDigits = (path: string) =>
    /volume|nominal|Fraction$/.test(path)
      ? 6
      : /gap|Share$/.test(path)
        ? 4
        : /cost|lowerBound|minutes/.test(path)
          ? 2
          : 3
  expect(numbers.length).toBeGreaterThan(500)
  expect(numbers.filter(([path, value]) => digitsOf(value) > mostDigits(path))).toEqual([])
  // The sums behind some of them are not whole: a rounding that does nothing fails above.
  expect(numbers.some(([, value]) => digitsOf(value) === 3)).toBe(true)
})
