// DEVELOPERS.md and the README of each room are true: paths and scripts that they name exist, every room is on the map, the
// commands that they show run, and a table of figures stands under the command that printed it.
import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join, resolve } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { PARTS } from '../../tools/bench/parts.ts'
import { WHOLE } from '../support/sampled.ts'

const ROOT = resolve(import.meta.dirname, '../..')
const { scripts } = z
  .object({ scripts: z.record(z.string(), z.string()) })
  .parse(JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')))

/** The pages for developers: the map, and the README of each room. */
const PAGES = ['DEVELOPERS.md'].concat(
  ['src', 'tests', 'tools', 'seeds'].flatMap((room) =>
    readdirSync(join(ROOT, room), { recursive: true, encoding: 'utf8' })
      .filter((name) => basename(name) === 'README.md')
      .map((name) => join(room, name)),
  ),
)
const MAP = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8')

const folder = mkdtempSync(join(tmpdir(), 'developers-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** The first capture of every match. */
function all(pattern: RegExp, text: string): string[] {
  return [...new Set([...text.matchAll(pattern)].map(([, found = '']) => found))]
}

function codesIn(text: string): string[] {
  return all(/`([^`\n]+)`/g, text)
}

/** The folders of a folder. */
function roomsOf(name: string): string[] {
  const entries = readdirSync(join(ROOT, name), { withFileTypes: true })
  return entries.filter((entry) => entry.isDirectory()).map((entry) => `${name}/${entry.name}`)
}

describe('the map', () => {
  it('has at most 150 lines', () => {
    expect(MAP.trimEnd().split('\n').length).toBeLessThanOrEqual(150)
  })

  it('has every room of src and of the planner', () => {
    const codes = codesIn(MAP)
    expect([...roomsOf('src'), ...roomsOf('src/planner')].filter((room) => !codes.includes(room))).toEqual([])
  })
})

it('gives every room of src a README', () => {
  expect(roomsOf('src').filter((room) => !PAGES.includes(`${room}/README.md`))).toEqual([])
})

it.each(['src/sheets', 'src/print', 'src/resolvers/sheets'])('names every file of %s in its README', (room) => {
  const text = readFileSync(join(ROOT, room, 'README.md'), 'utf8')
  const files = readdirSync(join(ROOT, room)).filter((name) => name.endsWith('.ts'))
  expect(files.filter((name) => !text.includes(`${room}/${name}`))).toEqual([])
})

describe.each(PAGES)('%s', (name) => {
  const text = readFileSync(join(ROOT, name), 'utf8')

  it('names paths that exist', () => {
    const paths = codesIn(text).filter((code) => /^(src|tests|tools|seeds|prisma)(\/|$)/.test(code))
    expect(paths.filter((path) => !existsSync(join(ROOT, path)))).toEqual([])
  })

  it('names scripts that package.json has', () => {
    const named = all(/npm run (?:-s )?([a-z][a-z:-]*)/g, text)
    expect(named.filter((script) => !(script in scripts))).toEqual([])
  })

  it('names parts of the benchmark that there are', () => {
    const named = all(/npm run bench -- ([a-z -]+)/g, text).flatMap((words) => words.split(' '))
    const parts = named.filter((word) => word !== '' && !word.startsWith('--'))
    expect(parts.filter((word) => PARTS.every((part) => part.name !== word))).toEqual([])
  })

  it('puts every table of figures under the command that printed it', () => {
    const figures = text.split('\n## ').find((section) => section.startsWith('Figures')) ?? ''
    const paragraphs = figures.split('\n\n')
    for (const [index, paragraph] of paragraphs.entries()) {
      if (paragraph.startsWith('|')) expect(paragraphs[index - 1]).toMatch(/^Printed by `npm run bench -- [a-z-]+/)
    }
  })
})

describe.runIf(WHOLE)('the commands that they show', () => {
  const blocks = PAGES.flatMap((name) => all(/```sh\n([\s\S]*?)```/g, readFileSync(join(ROOT, name), 'utf8')))

  it.each(blocks)('run: %s', (block) => {
    // The shell stops at the first command that fails; files go to a folder of the test.
    const script = block.replaceAll('var/', `${folder}/`)
    execFileSync('bash', ['-euo', 'pipefail', '-c', script], { cwd: ROOT, stdio: 'pipe' })
  })
})
