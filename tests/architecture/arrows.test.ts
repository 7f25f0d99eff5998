// The arrows between the rooms of src/: schema → resolvers → records → planner, resolvers → database, planner → nothing.
import { readdir, readFile } from 'node:fs/promises'
import { dirname, join, relative, resolve } from 'node:path'
import { expect, test } from 'vitest'

const SOURCES = resolve(import.meta.dirname, '../../src')

/** What each room may import from: other rooms, or single files. planner/problem.ts holds the documents' shapes alone, planner/days.ts calendar days. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  planner: [],
  solver: ['planner'],
  database: ['planner', 'clock.ts', 'errors.ts'],
  records: ['planner', 'database', 'errors.ts'],
  resolvers: ['planner', 'solver', 'records', 'database', 'clock.ts', 'errors.ts', 'scopes.ts'],
  schema: ['resolvers', 'database', 'planner/problem.ts', 'planner/days.ts', 'clock.ts', 'errors.ts', 'scopes.ts'],
  http: ['database', 'errors.ts'],
  'command-line': ['planner', 'solver'],
  start: [
    'resolvers',
    'records',
    'solver',
    'planner',
    'database',
    'app.ts',
    'server.ts',
    'settings.ts',
    'scopes.ts',
    'clock.ts',
    '../seeds/demo.ts',
  ],
}

/** Packages that a room may import; a room that is not listed may import any. */
const PACKAGES: Record<string, readonly RegExp[]> = {
  planner: [/^zod$/],
  resolvers: [/^(?!graphql|@pothos|@graphql)/],
}

interface Import {
  file: string
  target: string
}

const imports = await readImports()

async function readImports(): Promise<Import[]> {
  const found: Import[] = []
  for (const entry of await readdir(SOURCES, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name)
    const file = relative(SOURCES, path)
    if (!entry.isFile() || !file.endsWith('.ts') || /(^|\/)generated\//.test(file)) continue
    const text = await readFile(path, 'utf8')
    const statements = text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s[^'"]*?from\s*['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)|(?:^|\n)import\s*['"]([^'"]+)['"]/g,
    )
    for (const [, from, dynamic, bare] of statements) {
      const specifier = from ?? dynamic ?? bare ?? ''
      found.push({
        file,
        target: specifier.startsWith('.') ? relative(SOURCES, resolve(dirname(path), specifier)) : specifier,
      })
    }
  }
  return found
}

const roomOf = (file: string) => (file.includes('/') ? file.slice(0, file.indexOf('/')) : file)
const isOurs = (target: string) => target.endsWith('.ts')

test('the sources are read: each room that exists has imports', () => {
  expect(imports.length).toBeGreaterThan(50)
  // The start alone brings the demo in.
  const outside = imports.filter(({ target }) => target.startsWith('..'))
  expect(outside.map(({ file, target }) => `${file} → ${target}`)).toEqual(['start/demo.ts → ../seeds/demo.ts'])
})

test('every room is in the table of arrows', () => {
  const rooms = new Set(imports.filter(({ file }) => file.includes('/')).map(({ file }) => roomOf(file)))
  expect([...rooms].filter((room) => !(room in MAY_IMPORT))).toEqual([])
})

test('a room imports only from rooms that its arrows lead to', () => {
  const wrong = imports.filter(({ file, target }) => {
    if (!file.includes('/') || !isOurs(target)) return false
    const from = roomOf(file)
    const to = roomOf(target)
    const allowed = MAY_IMPORT[from] ?? []
    return from !== to && !allowed.includes(to) && !allowed.includes(target)
  })
  expect(wrong).toEqual([])
})

test('the planner imports nothing from outside but zod, and the use-cases no GraphQL', () => {
  const wrong = imports.filter(({ file, target }) => {
    const allowed = PACKAGES[roomOf(file)]
    return !isOurs(target) && allowed !== undefined && !allowed.some((name) => name.test(target))
  })
  expect(wrong).toEqual([])
})

test('the checker imports nothing of the search', () => {
  const wrong = imports.filter(
    ({ file, target }) => file.startsWith('planner/checker/') && target.startsWith('planner/search/'),
  )
  expect(wrong).toEqual([])
})

test('the search and the checker read no clock and no chance but the seeded one', async () => {
  const wrong: string[] = []
  for (const file of new Set(imports.map(({ file }) => file))) {
    if (!file.startsWith('planner/')) continue
    const text = await readFile(join(SOURCES, file), 'utf8')
    if (/Math\.random|Date\.now|new Date\(\)|performance\.now|process\./.test(text)) wrong.push(file)
  }
  expect(wrong).toEqual([])
})
