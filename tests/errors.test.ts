import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { ERROR_CATALOGUE, ERROR_KINDS } from '../src/error-catalogue.ts'
import { STATUSES } from '../src/error-statuses.ts'
import {
  Conflict,
  Forbidden,
  InvalidInput,
  issue,
  NotFound,
  NotPossible,
  Refusal,
  Unauthenticated,
} from '../src/errors.ts'
import { FAULT_ACTIONS } from '../src/planner/documents/parse/faults.ts'

const sourceOf = (file: string) => readFile(new URL(`../src/${file}`, import.meta.url), 'utf8')
const FILES_OF_CODES = (await readdir(new URL('../src', import.meta.url))).filter((name) => name.endsWith('-codes.ts'))
const source = (await Promise.all(FILES_OF_CODES.map(sourceOf))).join('')

test('every code says in whole sentences what it means and what the caller can do', () => {
  for (const [code, { kind, meaning, action }] of ERROR_CATALOGUE) {
    expect(code).toMatch(/^[A-Z]+(_[A-Z]+)*$/)
    expect(ERROR_KINDS).toContain(kind)
    for (const sentence of [meaning, action]) expect(sentence, code).toMatch(/^[A-Z].*[.]$/)
  }
})

test('no code has two meanings: none of ours is also a fault of a document, and none is written twice', () => {
  const own = [...source.matchAll(/^ {2}([A-Z_]+): \[/gm)].map(([, code]) => code)
  expect(own.length).toBeGreaterThan(15)
  expect(new Set(own).size).toBe(own.length)
  expect(own.filter((code) => code !== undefined && code in FAULT_ACTIONS)).toEqual([])
  expect(ERROR_CATALOGUE.size).toBe(own.length + Object.keys(FAULT_ACTIONS).length)
})

test('every code with a status of its own stands in the catalogue', () => {
  expect(Object.keys(STATUSES).length).toBeGreaterThan(5)
  for (const [code, status] of Object.entries(STATUSES))
    expect([...ERROR_CATALOGUE].find(([each]) => each === code)?.[1].status, code).toBe(status)
})

test('every code that the sources name in a refusal stands in the catalogue', async () => {
  const files = await readdir(new URL('../src', import.meta.url), { recursive: true })
  const named = new Set<string>()
  for (const file of files.filter((name) => name.endsWith('.ts') && !name.includes('generated'))) {
    const text = await readFile(join(import.meta.dirname, '../src', file), 'utf8')
    for (const [, code] of text.matchAll(
      /(?:new (?:Conflict|NotPossible|Unauthenticated)\(|issue\([^,()]+, )'([A-Z_]+)'/g,
    ))
      if (code !== undefined) named.add(code)
  }
  expect(named.size).toBeGreaterThan(0)
  const catalogue = new Set<string>(ERROR_CATALOGUE.keys())
  expect([...named].filter((code) => !catalogue.has(code))).toEqual([])
})

test('each refusal carries its code, its kind and what to do', () => {
  const refusals: [Refusal, string, string][] = [
    [new InvalidInput([issue('lines[0].quantity', 'OUT_OF_RANGE', 'at least 1')]), 'OUT_OF_RANGE', 'INVALID_INPUT'],
    [new Unauthenticated('KEY_MISSING'), 'KEY_MISSING', 'UNAUTHENTICATED'],
    [new Forbidden('orders:write'), 'SCOPE_MISSING', 'FORBIDDEN'],
    [new NotFound('Order', 'A-1'), 'NO_SUCH_THING', 'NOT_FOUND'],
    [new Conflict('REVISION_MOVED'), 'REVISION_MOVED', 'CONFLICT'],
    [new NotPossible('NO_PLAN_FITS', () => []), 'NO_PLAN_FITS', 'NOT_POSSIBLE'],
  ]
  for (const [refusal, code, kind] of refusals) {
    expect(refusal).toBeInstanceOf(Refusal)
    expect(refusal.code).toBe(code)
    expect(refusal.kind).toBe(kind)
    expect(refusal.action).toBe(ERROR_CATALOGUE.get(refusal.code)?.action)
  }
})

test('the message of an invalid input names every issue and where it is, in words', () => {
  const refusal = new InvalidInput([issue('', 'EMPTY_LIST'), issue('lines[1].quantity', 'OUT_OF_RANGE', 'at least 1')])
  expect(refusal.message).toBe('The list is empty; quantity of line 2: at least 1')
})
