// Requests stand in the line of their distributor, from the first byte that is read of them to the last row that is sent.
import { beforeEach, expect, test, vi } from 'vitest'
import { type Asker, ThreadTurns, threadTurns } from '../../src/thread-turns.ts'
import { openTestApi } from '../support/api.ts'

const { app, keys, ask } = await openTestApi()

vi.spyOn(threadTurns, 'take').mockImplementation((asker, isFree) => {
  taken.push(asker.line)
  last = asker
  return ThreadTurns.prototype.take.call(threadTurns, asker, isFree)
})
beforeEach(() => {
  taken = []
})

/** The lines in which turns were taken, in their order, each as long as it goes on. */
let taken: string[] = []
let last: Asker | undefined
const lines = () => taken.filter((line, index, all) => line !== all[index - 1])

test('a key is known once it has been good: then its requests stand with those of its distributor', async () => {
  await ask('{ distributor { name } }', {}, 'sales')
  expect(lines()).toEqual(['of strangers', 'of demo'])
  taken = []
  await ask('{ distributor { name } }', {}, 'sales')
  expect(lines()).toEqual(['of demo'])
})

test.each([
  ['no key', null],
  ['a key that is not good', { key: 'fw_not_good' }],
])('requests with %s stand in one line', async (_, as) => {
  for (let n = 0; n < 2; n += 1) await ask('{ distributor { name } }', {}, as)
  expect(lines()).toEqual(['of strangers'])
})

test('who asks whether the server lives does not wait behind strangers', async () => {
  await app.fetch('http://localhost/health/live')
  await app.fetch('http://localhost/health/ready')
  expect(lines()).toEqual(['health'])
})

test('a table is read in the line of who asked for it until its last row', async () => {
  await ask('{ distributor { name } }', {}, 'planner')
  taken = []
  const headers = { authorization: `Bearer ${keys.planner}` }
  const answer = await app.fetch('http://localhost/export/accounts.csv', { headers })
  const text = await answer.text()
  expect(text.split('\r\n').length).toBeGreaterThan(3)
  expect(taken.length).toBeGreaterThan(3)
  expect(lines()).toEqual(['of demo'])
})

// The first request with its key.
test('whose request it is can be seen from outside of it, where others are given their turns', async () => {
  await ask('{ distributor { name } }', {}, 'admin')
  expect(last?.line).toBe('of demo')
})
