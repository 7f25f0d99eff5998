// The arrows between the rooms of src/: schema → resolvers → records → planner, resolvers → database, planner → nothing.
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { circlesOf, readImports, SOURCES } from './imports.ts'

/** What each room may import from: other rooms, or single files. planner/documents/index.ts is the door to the documents' shapes and to days. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  planner: [],
  solver: ['planner'],
  sheets: ['planner/documents/index.ts', 'floor/facts/fact.ts'],
  words: ['planner', 'sheets'],
  floor: ['planner'],
  print: ['planner/documents/index.ts', 'floor', 'sheets', 'words'],
  ubl: ['planner/documents/index.ts'],
  database: ['planner', 'clock.ts', 'errors.ts', 'thread-turns.ts'],
  records: ['planner', 'floor', 'sheets', 'database', 'errors.ts'],
  // The list of kinds alone leads to the use-cases: see below.
  jobs: ['resolvers', 'solver', 'database', 'clock.ts', 'errors.ts'],
  resolvers: [
    'jobs/enqueue.ts',
    'jobs/job-kind.ts',
    'jobs/jobs.ts',
    'planner',
    'floor',
    'sheets',
    'print',
    'ubl',
    'solver',
    'words',
    'records',
    'database',
    'clock.ts',
    'errors.ts',
    'scopes.ts',
    'thread-turns.ts',
    'tables',
    'webhooks',
  ],
  tables: ['errors.ts'],
  webhooks: [],
  schema: [
    'resolvers',
    'sheets',
    'words',
    'database',
    'planner/documents/index.ts',
    'clock.ts',
    'errors.ts',
    'error-catalogue.ts',
    'scopes.ts',
    'thread-turns.ts',
  ],
  operations: [],
  http: ['database', 'operations', 'errors.ts', 'error-catalogue.ts', 'thread-turns.ts'],
  'command-line': ['planner', 'solver', 'words'],
  start: [
    'jobs',
    'resolvers',
    'words',
    'records',
    'solver',
    'planner',
    'database',
    'operations',
    'http/trusted-documents.ts',
    'http/worker-pages.ts',
    'schema/schema.ts',
    'app.ts',
    'server.ts',
    'settings.ts',
    'setting-words.ts',
    'scopes.ts',
    'clock.ts',
    '../seeds/demo.ts',
    '../seeds/sized-problem.ts',
  ],
}

/** Packages that a room may import; a room that is not listed may import any. */
const PACKAGES: Record<string, readonly RegExp[]> = {
  planner: [/^zod$/],
  floor: [/^zod$/],
  sheets: [/^zod$/],
  ubl: [/^saxes$/],
  resolvers: [/^(?!graphql|@pothos|@graphql)/],
}

const imports = await readImports()

const roomOf = (file: string) => (file.includes('/') ? file.slice(0, file.indexOf('/')) : file)
const isOurs = (target: string) => target.endsWith('.ts')

test('the sources are read: each room that exists has imports', () => {
  expect(imports.length).toBeGreaterThan(50)
  // The start alone brings the demo in, and a problem that is planned before the first plan.
  const outside = imports.filter(({ target }) => target.startsWith('..'))
  expect(outside.map(({ file, target }) => `${file} → ${target}`)).toEqual([
    'start/demo.ts → ../seeds/demo.ts',
    'start/warm-planner.ts → ../seeds/sized-problem.ts',
  ])
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

test('of the jobs only the list of kinds leads to the use-cases and to the solver', () => {
  const leading = imports.filter(({ file, target }) => roomOf(file) === 'jobs' && /^(resolvers|solver)\//.test(target))
  expect([...new Set(leading.map(({ file }) => file))]).toEqual(['jobs/kinds.ts'])
})

test('the planner imports nothing from outside but zod and, in its calendar, date-fns, and the use-cases no GraphQL', () => {
  const wrong = imports.filter(({ file, target }) => {
    const allowed = PACKAGES[roomOf(file)]
    const ofCalendar = file.startsWith('planner/calendar/') && /^(date-fns\/format|@date-fns\/tz)$/.test(target)
    return !isOurs(target) && !ofCalendar && allowed !== undefined && !allowed.some((name) => name.test(target))
  })
  expect(wrong).toEqual([])
})

test('the search, the checker and the figures of sheets read no clock and no chance but the seeded one', async () => {
  const wrong: string[] = []
  for (const file of new Set(imports.map(({ file }) => file))) {
    if (!/^(planner|sheets)\//.test(file)) continue
    const text = await readFile(join(SOURCES, file), 'utf8')
    if (/Math\.random|Date\.now|new Date\(\)|performance\.now|process\./.test(text)) wrong.push(file)
  }
  expect(wrong).toEqual([])
})

test('no files import each other in a circle, type-only imports included', () => {
  expect(circlesOf(imports)).toEqual([])
})
