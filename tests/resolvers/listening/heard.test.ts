import { expect, test, vi } from 'vitest'
import { Heard } from '../../../src/resolvers/listening/heard.ts'
import { eventually } from '../../support/eventually.ts'

test('values are heard in turn, those that came early and those that are waited for', async () => {
  const heard = new Heard<number>(() => undefined)
  heard.add(1, 2)
  expect(heard.waiting).toBe(2)
  const values: number[] = []
  const listening = (async () => {
    for await (const value of heard) values.push(value)
  })()
  await eventually(() => expect(values).toEqual([1, 2]))
  heard.add(3)
  heard.end()
  heard.add(4)
  await listening
  expect(values).toEqual([1, 2, 3])
})

test('what waits can be replaced by the newest', async () => {
  const heard = new Heard<number>(() => undefined)
  heard.add(1, 2)
  heard.latest(3)
  heard.end()
  expect(await heard.next()).toEqual({ done: false, value: 3 })
  expect(await heard.next()).toEqual({ done: true, value: undefined })
})

test('an error is heard after what waits, once', async () => {
  const heard = new Heard<number>(() => undefined)
  heard.add(1)
  heard.fail(new Error('gone'))
  expect(await heard.next()).toEqual({ done: false, value: 1 })
  await expect(heard.next()).rejects.toThrow('gone')
  expect(await heard.next()).toEqual({ done: true, value: undefined })
})

test.each([
  ['ends', (heard: Heard<number>) => heard.end()],
  ['fails', (heard: Heard<number>) => heard.fail(new Error('gone'))],
  ['is left', (heard: Heard<number>) => heard.return()],
])('what %s says so once, and one who waits goes on', async (_, end) => {
  const onEnd = vi.fn()
  const heard = new Heard<number>(onEnd)
  const next = heard.next().catch(() => 'failed')
  await end(heard)
  await heard.return()
  expect(onEnd).toHaveBeenCalledOnce()
  expect(await next).toBeDefined()
})
