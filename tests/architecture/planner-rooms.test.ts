// The rooms of src/planner: a room imports only rooms below it, the rest of src comes in through two doors, and the checker
// shares nothing with what it judges. Type-only imports count.
import { expect, test } from 'vitest'
import { reachableFrom, readImports } from './imports.ts'

/** What each room may import, besides documents and calendar, which all may. */
const ROOMS: Record<string, readonly string[]> = {
  live: ['explanation', 'opening', 'insertion', 'checker', 'model'],
  planning: ['search', 'explanation', 'opening', 'checker', 'model'],
  search: ['insertion', 'model'],
  explanation: ['opening', 'insertion', 'rules', 'checker', 'model'],
  opening: ['insertion', 'rules', 'model'],
  insertion: ['model'],
  checker: ['rules', 'facts'],
  rules: ['facts', 'model'],
  model: [],
  facts: [],
  exact: ['bound', 'checker', 'facts'],
  bound: [],
  documents: ['calendar'],
  calendar: [],
}

const DOORS = ['planner/index.ts', 'planner/documents/index.ts']

const imports = await readImports()
const inPlanner = (path: string) => path.startsWith('planner/')
const roomOf = (path: string) => path.split('/')[1] ?? ''

test('every file of the planner is in a room of the table, but for the door', () => {
  const files = new Set(imports.flatMap(({ file, target }) => [file, target]).filter(inPlanner))
  expect(files.size).toBeGreaterThan(100)
  expect([...files].filter((file) => file !== 'planner/index.ts' && !(roomOf(file) in ROOMS))).toEqual([])
})

test('a room of the planner imports only rooms below it', () => {
  const wrong = imports.filter(({ file, target }) => {
    if (!inPlanner(file) || file === 'planner/index.ts' || !target.endsWith('.ts')) return false
    const [from, to] = [roomOf(file), roomOf(target)]
    if (!inPlanner(target)) return true
    const everyones = to === 'calendar' || (to === 'documents' && from !== 'calendar')
    return from !== to && !everyones && !ROOMS[from]?.includes(to)
  })
  expect(wrong).toEqual([])
})

test('the rest of src enters the planner by its two doors, which the planner itself does not use', () => {
  const wrong = imports.filter(({ file, target }) =>
    inPlanner(file) ? DOORS.includes(target) : inPlanner(target) && !DOORS.includes(target),
  )
  expect(wrong).toEqual([])
})

test('what the checker imports, directly or not, is neither model, constraint, insertion nor search', () => {
  const reached = reachableFrom(imports, 'planner/checker/check-plan.ts')
  expect(reached).toContain('planner/rules/checks.ts')
  expect(reached.filter((file) => /^planner\/(model|insertion|search|opening)\/|constraint/.test(file))).toEqual([])
})

test('model, constraints, insertion and search import nothing of the facts that the checker judges by', () => {
  const wrong = imports.filter(
    ({ file, target }) =>
      /^planner\/(model|insertion|search)\/|^planner\/rules\/.*constraint/.test(file) &&
      target.startsWith('planner/facts/'),
  )
  expect(wrong).toEqual([])
})

test('the checks of the rules, and their constraints and relaxations, never import each other', () => {
  const isOfSearch = (path: string) => path.startsWith('planner/rules/') && /constraint|relaxation/.test(path)
  const isCheck = (path: string) => path.startsWith('planner/rules/') && !/constraint|relaxation/.test(path)
  const wrong = imports.filter(
    ({ file, target }) => (isOfSearch(file) && isCheck(target)) || (isCheck(file) && isOfSearch(target)),
  )
  expect(wrong).toEqual([])
})
