import { expect, test } from 'vitest'
import { Turns } from '../../src/database/turns.ts'

test('work under one key is done one after the other in the order in which it came, past what fails; other keys go ahead', async () => {
  const turns = new Turns()
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
  const first = turns.take('a', step('first', gate))
  const fails = turns.take('a', () => Promise.reject(new Error('no')))
  const third = turns.take('a', step('third'))
  expect(await turns.take('b', step('other'))).toBe('other')
  expect(done).toEqual(['other'])
  open()
  await expect(fails).rejects.toThrow('no')
  expect(await Promise.all([first, third])).toEqual(['first', 'third'])
  expect(done).toEqual(['other', 'first', 'third'])
  expect(await turns.take('a', step('later'))).toBe('later')
})
