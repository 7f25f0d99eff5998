// Who writes waits in a line that has an end.
import { expect, test } from 'vitest'
import { WaitingWriters } from '../../src/resolvers/waiting-writers.ts'

test('where too many wait, the next learns when to come again before it begins, and can come once they are done', async () => {
  const writers = new WaitingWriters(2)
  let open = () => {}
  const gate = new Promise<void>((resolve) => {
    open = resolve
  })
  const slow = ['p', 'q'].map((each) => writers.run('a', () => gate.then(() => each)))
  const begun: string[] = []
  const next = () => writers.run('a', () => begun.push('r'))
  await expect(next()).rejects.toMatchObject({ code: 'BUSY', retryAfterSeconds: 1 })
  expect(begun).toEqual([])
  // Another distributor's do not wait for them.
  expect(await writers.run('b', () => 'written')).toBe('written')
  open()
  expect(await Promise.all(slow)).toEqual(['p', 'q'])
  expect(await next()).toBe(1)
})

test('one that fails leaves its place', async () => {
  const writers = new WaitingWriters(1)
  for (let n = 0; n < 3; n += 1)
    await expect(writers.run('a', () => Promise.reject(new Error('no')))).rejects.toThrow('no')
  expect(await writers.run('a', () => 'written')).toBe('written')
})
