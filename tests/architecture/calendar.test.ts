// Dates are reckoned in one room: elsewhere days are whole numbers or local dates, and the calendar is asked.
import { readdir, readFile } from 'node:fs/promises'
import { join, relative, resolve } from 'node:path'
import { expect, test } from 'vitest'

const ROOT = resolve(import.meta.dirname, '../..')
const CALENDAR = 'src/planner/calendar/'
const GENERATED = 'src/database/generated/'

/** Reckoning with the parts of a date, or with the length of a day. */
const BY_HAND = /86_?400_?000|\b(get|set)UTC|Date\.UTC|\.(get|set)(Date|Month|FullYear|Day|Hours)\(/

test('no source outside the calendar reckons dates by hand', async () => {
  const found: string[] = []
  let inCalendar = 0
  for (const room of ['src', 'seeds', 'tools'])
    for (const entry of await readdir(join(ROOT, room), { recursive: true, withFileTypes: true })) {
      const path = relative(ROOT, join(entry.parentPath, entry.name))
      if (!entry.isFile() || !path.endsWith('.ts') || path.startsWith(GENERATED)) continue
      const lines = (await readFile(join(ROOT, path), 'utf8')).split('\n')
      for (const [index, line] of lines.entries())
        if (BY_HAND.test(line) && path.startsWith(CALENDAR)) inCalendar += 1
        else if (BY_HAND.test(line)) found.push(`${path}:${index + 1}: ${line.trim()}`)
    }
  expect(found).toEqual([])
  expect(inCalendar).toBeGreaterThan(2)
})
