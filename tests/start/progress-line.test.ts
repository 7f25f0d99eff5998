import { expect, test } from 'vitest'
import { progressLine } from '../../src/start/progress-line.ts'

function written(isTTY: boolean): string {
  let text = ''
  const line = progressLine({ isTTY, write: (chunk) => (text += chunk) })
  line.show('Planning ...')
  line.show('Planning: 10 steps')
  line.show('Writing ...')
  line.end()
  return text
}

test('on a terminal the line is written over again', () => {
  expect(written(true)).toBe('\r\u001b[KPlanning ...\r\u001b[KPlanning: 10 steps\r\u001b[KWriting ...\r\u001b[K')
})

test('elsewhere each stage has one line', () => {
  expect(written(false)).toBe('Planning ...\nWriting ...\n')
})
