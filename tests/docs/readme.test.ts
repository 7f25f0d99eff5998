// The README's queries run as they are written, one after the other, each as the user that it names; so do the tabs of
// the query editor.
import { readFile } from 'node:fs/promises'
import { type OperationDefinitionNode, parse } from 'graphql'
import { afterAll, expect, test } from 'vitest'
import { addDays } from '../../src/planner/days.ts'
import { DEMO_USERS, type DemoUser } from '../../src/resolvers/access/demo-keys.ts'
import { graphiqlTabs } from '../../src/schema/graphiql-tabs.ts'
import { openTestApi } from '../support/api.ts'

const { ask, drafts, faults, scenario } = await openTestApi({ planned: true })
const { today } = scenario.problem
afterAll(() => drafts.stop())
const readme = await readFile(new URL('../../README.md', import.meta.url), 'utf8')
const blocks = [...readme.matchAll(/```graphql (\w+)\n([\s\S]*?)```/g)].map(([, user = '', query = '']) => ({
  user,
  query,
}))

function isUser(name: string): name is DemoUser {
  return name in DEMO_USERS
}

test.each(blocks)('as $user: $query', async ({ user, query }) => {
  if (!isUser(user)) throw new Error(`the demo has no user "${user}"`)
  const { data, errors } = await ask(query, { serveOn: addDays(today, 10), from: today, to: addDays(today, 6) }, user)
  expect(errors).toBeUndefined()
  // A block that asks for nothing but what is wrong shows what is wrong; all others do what they say.
  const refused = Object.values(data ?? {}).filter((value) => JSON.stringify(value).includes('"issues"'))
  if (!/^mutation/.test(query) || query.includes('__typename')) expect(refused).toEqual([])
  else expect(refused.length).toBeGreaterThan(0)
  expect(faults).toEqual([])
})

const operations = graphiqlTabs(today).flatMap(({ query, headers, variables }) => {
  const user = /the (\w+) key/.exec(headers)?.[1] ?? ''
  return parse(query)
    .definitions.filter((node): node is OperationDefinitionNode => node.kind === 'OperationDefinition')
    .map(({ name, loc }) => ({ user, name: name?.value ?? '', variables, query: query.slice(loc?.start, loc?.end) }))
})

test.each(operations)('the query editor opens with $name, which works as $user', async ({ user, query, variables }) => {
  if (!isUser(user)) throw new Error(`the demo has no user "${user}"`)
  const { data, errors } = await ask(query, JSON.parse(variables), user)
  expect(errors).toBeUndefined()
  expect(JSON.stringify(data)).not.toMatch(/"issues"|"action"/)
})
