// A regular expression in an object that toMatchObject compares with matches every text: such a test cannot fail.
import { readdir, readFile } from 'node:fs/promises'
import { join, relative, resolve } from 'node:path'
import { expect, test } from 'vitest'

const TESTS = resolve(import.meta.dirname, '..')

/** A property whose value is a regular expression. */
const EXPRESSION = /(?:^|[{,])\s*\w+: \/[^/*]/

test('a text in an expected object is matched by expect.stringMatching, and never by a bare regular expression', async () => {
  const found: string[] = []
  const files = (await readdir(TESTS, { recursive: true, withFileTypes: true })).filter(
    (entry) => entry.isFile() && entry.name.endsWith('.ts'),
  )
  for (const { parentPath, name } of files) {
    const path = join(parentPath, name)
    for (const [index, line] of (await readFile(path, 'utf8')).split('\n').entries())
      if (EXPRESSION.test(line)) found.push(`${relative(TESTS, path)}:${index + 1}: ${line.trim()}`)
  }
  expect(files.length).toBeGreaterThan(100)
  expect(found).toEqual([])
  for (const before of ['{ code: "GONE", ', '    '])
    expect(EXPRESSION.test(`${before}message: ${/late/}`), before).toBe(true)
})
