// What goes wrong is drawn from a seed; in a season in which all of it must happen, it does.
import { expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { type Mishap, Mishaps } from '../../../tools/seasons/mishaps.ts'

const FIRST_DAY = '2027-03-01'
const KINDS = new Mishaps().missing()

/** What goes wrong on so many days with one occasion for each kind. */
function happened(mishaps: Mishaps, seed: number, days: number): [Mishap, number][] {
  const random = randomFrom(seed)
  return Array.from({ length: days }, (_, n) =>
    KINDS.filter((kind) => mishaps.strikes(kind, random, addDays(FIRST_DAY, n))).map((kind): [Mishap, number] => [
      kind,
      n,
    ]),
  ).flat()
}

test('everything that must go wrong has gone wrong within twelve days, not all of it on one', () => {
  const mishaps = new Mishaps(FIRST_DAY)
  const days = new Map(happened(mishaps, 3, 12).reverse())
  expect(mishaps.missing()).toEqual([])
  expect(new Set(days.values()).size).toBeGreaterThan(5)
})

test('what is due because it must happen leaves all else as the seed has it', () => {
  const [byChance, all] = [happened(new Mishaps(), 5, 30), happened(new Mishaps(FIRST_DAY), 5, 30)]
  const texts = new Set(all.map(String))
  expect(byChance.every((each) => texts.has(String(each)))).toBe(true)
})
