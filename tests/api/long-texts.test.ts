// Every text and id that an argument or an input takes, at every place of the schema: one that is too long is refused by its own field, is
// not sent back, and nothing is written.
import { expect, test } from 'vitest'
import { schema } from '../../src/schema/schema.ts'
import { documentOf, type Place, placesOf, rootFields, variablesOf } from '../../tools/hostile/walk-schema.ts'
import { openTestApi } from '../support/api.ts'
import { sampledUnlessOnServer } from '../support/sampled.ts'
import { fillingOf } from '../support/things.ts'

const { app, keys, faults, revision } = await openTestApi()
const ROOTS = rootFields(schema).filter(({ operation }) => operation !== 'subscription')
const TRIED = sampledUnlessOnServer(ROOTS, 40)
/** Longer than any text may be: offers are the longest, with 100,000 characters. */
const LONG = 'x'.repeat(100_001)

/** How deep what is wrong stands in an answer: an import says it of each thing. */
function depthOf(name: string, operation: string): number {
  if (operation === 'query') return 0
  return name.startsWith('import') ? 4 : 2
}

async function ask({ root }: Place, variables: Record<string, unknown>): Promise<string> {
  const response = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.admin}` },
    body: JSON.stringify({
      query: documentOf(schema, root, Object.keys(variables), depthOf(root.name, root.operation)),
      variables,
    }),
  })
  return response.text()
}

test.each(TRIED.map((root) => [root.name, root] as const))('%s refuses a text that is too long', async (_, root) => {
  const before = await revision()
  const places = placesOf(root, true).filter(({ path }) => path.at(-1) !== 'number')
  for (const place of places) {
    const variables = variablesOf(root, fillingOf(new Map()), { place, value: LONG })
    const answer = await ask(place, variables)
    expect(answer, place.path.join('.')).toMatch(/"code":"(BAD_\w+|UNKNOWN_\w+|NO_SUCH_\w+|NOT_FOUND|\w+_NOT_FOUND)"/)
    expect(answer.length, place.path.join('.')).toBeLessThan(20_000)
  }
  expect(await revision()).toBe(before)
  expect(faults.splice(0)).toEqual([])
})

test('there are texts to try', () => {
  expect(ROOTS.flatMap((root) => placesOf(root, true)).length).toBeGreaterThan(300)
})
