// What each key may ask for in a minute: whole quotas in each window, for each key alone, in a table that does not grow.
import { expect, test } from 'vitest'
import { Busy } from '../../../src/errors.ts'
import { KeyCounts } from '../../../src/resolvers/access/key-quotas.ts'

const caller = (keyId: string) => ({ distributorId: 'd', keyId })
const request = () => new Request('http://test/')

function counted(requests: number, cost: number) {
  const clock = { at: 1_000 }
  return { clock, counts: new KeyCounts({ requests, cost }, () => clock.at) }
}

/** The code and the seconds with which something is refused; undefined where it is not. */
function refusal(attempt: () => unknown): [string, number] | undefined {
  try {
    attempt()
  } catch (error) {
    if (error instanceof Busy) return [error.code, error.retryAfterSeconds]
    throw error
  }
  return undefined
}

test('a key has its requests in each minute from its first one on, and another key has its own', () => {
  const { clock, counts } = counted(2, 10)
  const send = (keyId = 'a') => refusal(() => counts.count(request(), caller(keyId)))
  expect([send(), send(), send()]).toEqual([undefined, undefined, ['KEY_REQUESTS_SPENT', 60]])
  expect(send('b')).toBeUndefined()
  clock.at += 59_001
  expect(send()).toEqual(['KEY_REQUESTS_SPENT', 1])
  clock.at += 999
  expect([send(), send(), send()]).toEqual([undefined, undefined, ['KEY_REQUESTS_SPENT', 60]])
})

test('a query that costs more than is left is refused and costs nothing, so that a cheaper one passes', () => {
  const { clock, counts } = counted(100, 10)
  const account = counts.count(request(), caller('a'))
  const charge = (cost: number) => refusal(() => account.charge(cost))
  expect([charge(7), charge(4), charge(3), charge(1)]).toEqual([
    undefined,
    ['KEY_COST_SPENT', 60],
    undefined,
    ['KEY_COST_SPENT', 60],
  ])
  expect(account.left()).toEqual({ requests: 99, cost: 0, seconds: 60 })
  clock.at += 60_000
  expect(counts.count(request(), caller('a')).left()).toEqual({ requests: 99, cost: 10, seconds: 60 })
})

test('of many keys those whose windows began first are forgotten, and those that are over at once', () => {
  const { clock, counts } = counted(1, 10)
  const send = (keyId: string) => refusal(() => counts.count(request(), caller(keyId)))
  for (let n = 0; n < 10_000; n += 1) expect(send(`key ${n}`)).toBeUndefined()
  expect(send('key 0')).toEqual(['KEY_REQUESTS_SPENT', 60])
  expect(send('one more')).toBeUndefined()
  expect([send('key 0'), send('key 9999')]).toEqual([undefined, ['KEY_REQUESTS_SPENT', 60]])
  clock.at += 60_000
  expect([send('key 9999'), send('one more')]).toEqual([undefined, undefined])
})
