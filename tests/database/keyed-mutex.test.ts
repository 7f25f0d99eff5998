import { expect, test } from 'vitest'
import { KeyedMutex } from '../../src/database/keyed-mutex.ts'

test('work under one key is done one after the other in the order in which it came, past what fails; other keys go ahead', async () => {
  const mutex = new KeyedMutex()
  const done: string[] = []
  let open = () => {}
  const gate = new Promise<void>((resolve) => {
    open = resolve
  })
  const step = (name: string, wait?: Promise<void>) => async () => {
    await wait
    done.push(name)
    return name
  }
  const first = mutex.run('a', step('first', gate))
  const fails = mutex.run('a', () => Promise.reject(new Error('no')))
  const third = mutex.run('a', step('third'))
  expect(await mutex.run('b', step('other'))).toBe('other')
  expect(done).toEqual(['other'])
  open()
  await expect(fails).rejects.toThrow('no')
  expect(await Promise.all([first, third])).toEqual(['first', 'third'])
  expect(done).toEqual(['other', 'first', 'third'])
  expect(await mutex.run('a', step('later'))).toBe('later')
})

test('work that waits under a key can be refused; what is going on ends, and what comes later is done', async () => {
  const mutex = new KeyedMutex()
  const going = mutex.run('a', async () => {
    await Promise.resolve()
    mutex.refuseWaiting('a', new Error('away'))
    return 'done'
  })
  const [second, third, other] = ['second', 'third', 'other'].map((name) =>
    mutex.run(name === 'other' ? 'b' : 'a', async () => name),
  )
  await expect(second).rejects.toThrow('away')
  await expect(third).rejects.toThrow('away')
  expect(await Promise.all([going, other])).toEqual(['done', 'other'])
  expect(await mutex.run('a', async () => 'later')).toBe('later')
})
