// DEVELOPERS.md tells the truth: paths and scripts that it names exist, every room is on the map, the commands that it
// shows run, and a table of figures stands under the command that printed it.
import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { PARTS } from '../../tools/bench/parts.ts'

const ROOT = resolve(import.meta.dirname, '../..')
const TEXT = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8')
const { scripts } = z
  .object({ scripts: z.record(z.string(), z.string()) })
  .parse(JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')))

const folder = mkdtempSync(join(tmpdir(), 'developers-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** The first capture of every match. */
function all(pattern: RegExp, text = TEXT): string[] {
  return [...new Set([...text.matchAll(pattern)].map(([, found = '']) => found))]
}

const codes = all(/`([^`\n]+)`/g)

it.each(codes.filter((code) => /^(src|tests|tools|seeds|prisma)(\/|$)/.test(code)))(
  'names a path that exists: %s',
  (path) => {
    expect(existsSync(join(ROOT, path))).toBe(true)
  },
)

it('has every room of src on its map', () => {
  const rooms = readdirSync(join(ROOT, 'src'), { withFileTypes: true }).filter((entry) => entry.isDirectory())
  for (const { name } of rooms) expect(codes).toContain(`src/${name}`)
})

it('names scripts that package.json has', () => {
  const named = all(/npm run (?:-s )?([a-z][a-z:-]*)/g)
  expect(named.filter((name) => !(name in scripts))).toEqual([])
})

it('names parts of the benchmark that there are', () => {
  const named = all(/npm run bench -- ([a-z -]+)/g).flatMap((words) => words.split(' '))
  const parts = named.filter((word) => word !== '' && !word.startsWith('--'))
  expect(parts.filter((word) => PARTS.every(({ name }) => name !== word))).toEqual([])
})

describe('the commands that it shows', () => {
  const blocks = all(/```sh\n([\s\S]*?)```/g)

  it.each(blocks)('run: %s', (block) => {
    // The shell stops at the first command that fails; files go to a folder of the test.
    const script = block.replaceAll('var/', `${folder}/`)
    execFileSync('bash', ['-euo', 'pipefail', '-c', script], { cwd: ROOT, stdio: 'pipe' })
  })
})

it('puts every table of figures under the command that printed it', () => {
  const figures = TEXT.split('\n## ').find((section) => section.startsWith('Figures')) ?? ''
  const paragraphs = figures.split('\n\n')
  for (const [index, paragraph] of paragraphs.entries()) {
    if (paragraph.startsWith('|')) expect(paragraphs[index - 1]).toMatch(/^Printed by `npm run bench -- [a-z-]+/)
  }
})
