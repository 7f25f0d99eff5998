import { expect, test } from 'vitest'
import { slowestFiles } from './slowest-files.ts'

test('the slowest files are named with their seconds, slowest first, and the others are left out', () => {
  const times = [
    { file: 'b.test.ts', seconds: 2 },
    { file: 'a.test.ts', seconds: 12.34 },
    { file: 'c.test.ts', seconds: 0.1 },
  ]
  expect(slowestFiles(times, 2)).toEqual(['    12.3 s  a.test.ts', '     2.0 s  b.test.ts'])
})
