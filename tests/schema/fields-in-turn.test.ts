// The root fields of a query are answered a few at a time, and each as if it were alone.
import { setTimeout as pause } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { FieldLine } from '../../src/schema/fields-in-turn.ts'
import { openTestApi } from '../support/api.ts'

const { data } = await openTestApi({})

test('of many root fields eight are under way at once, in their order, and one that fails leaves its place to the next', async () => {
  const line = new FieldLine()
  const begun: number[] = []
  let running = 0
  let most = 0
  const fields = Array.from({ length: 30 }, (_, n) =>
    line.run(async () => {
      begun.push(n)
      running += 1
      most = Math.max(most, running)
      await pause(1)
      running -= 1
      if (n % 3 === 0) throw new Error(`field ${n}`)
      return n
    }),
  )
  const settled = await Promise.allSettled(fields)
  expect(most).toBe(8)
  expect(begun).toEqual([...begun].sort((a, b) => a - b))
  expect(settled.map((each) => (each.status === 'fulfilled' ? each.value : 'failed'))).toEqual(
    fields.map((_, n) => (n % 3 === 0 ? 'failed' : n)),
  )
})

test('a field that is answered at once waits for none and leaves no place taken', () => {
  const line = new FieldLine()
  expect(Array.from({ length: 30 }, (_, n) => line.run(() => n))).toEqual(Array.from({ length: 30 }, (_, n) => n))
})

test('a query of a hundred lists answers each as one that asks for it alone', async () => {
  const LIST = 'accounts(first: 5) { totalCount edges { node { id name } } }'
  const { accounts } = await data(`{ ${LIST} }`)
  const many = await data(`{ ${Array.from({ length: 100 }, (_, n) => `a${n}: ${LIST}`).join(' ')} }`)
  expect(Object.keys(many)).toEqual(Array.from({ length: 100 }, (_, n) => `a${n}`))
  for (const each of Object.values(many)) expect(each).toEqual(accounts)
})
