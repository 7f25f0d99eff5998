// The list of relaxations: each file that lifts a rule is in it, and each rule once.
import { readdir } from 'node:fs/promises'
import { expect, it } from 'vitest'
import { RELAXATIONS } from '../../../src/planner/rules/relaxations.ts'

const ROOMS = new URL('../../../src/planner/rules/', import.meta.url)

it('lists the relaxation of every room that has one', async () => {
  const files = (await readdir(ROOMS, { recursive: true })).filter((file) => file.endsWith('/relaxation.ts'))
  const exported = await Promise.all(
    files.map(async (file): Promise<Record<string, unknown>> => await import(new URL(file, ROOMS).href)),
  )
  expect(exported.length).toBeGreaterThan(10)
  const listed = new Set<unknown>(RELAXATIONS)
  for (const [index, each] of exported.entries())
    expect(
      Object.values(each).filter((one) => listed.has(one)),
      files[index],
    ).toHaveLength(1)
  expect(listed.size).toBe(exported.length)
})

it('lists each rule once, so that a reason names a limit as a whole', () => {
  const rules = RELAXATIONS.map(({ rule }) => rule)
  expect(new Set(rules).size).toBe(rules.length)
})
