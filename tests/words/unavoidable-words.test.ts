import { expect, it } from 'vitest'
import type { Unavoidable } from '../../src/planner/index.ts'
import { unavoidableInWords } from '../../src/words/unavoidable-words.ts'

const names = { beer: (id: string) => `beer ${id}`, orderLine: (id: string) => `line ${id}` }
const unavoidable: Unavoidable = {
  lines: [
    { orderLineId: 'L-1', cost: 400, daysLate: null },
    { orderLineId: 'L-2', cost: 81.8, daysLate: 1 },
    { orderLineId: 'L-3', cost: 12, daysLate: 3 },
  ],
  beers: [
    { beerId: 'mild', cost: 610.256, lines: 493.8, left: 16 },
    { beerId: 'stout', cost: 20, lines: 0, left: 0 },
  ],
}

it('says the parts of the cost, then beers and lines by name', () => {
  expect(unavoidableInWords(unavoidable, { ofBeers: 630.256, together: 70, open: 99.744 }, names)).toEqual([
    'No plan avoids 630.26 for its beers, and 70.00 because beers share vessels, fillers, containers and routes. Whether another plan saves any of the other 99.74 is not known.',
    '  beer mild: 610.26 at least, of it 493.80 for lines that must be late or are not served and 16.00 for beer that no line asks for',
    '  beer stout: 20.00 at least',
    '  line L-1: 400.00 in every plan, it is not served',
    '  line L-2: 81.80 in every plan, a day late at least',
    '  line L-3: 12.00 in every plan, 3 days late at least',
  ])
})

it('leaves out what is nothing, and names five of each at most', () => {
  const beers = Array.from({ length: 7 }, (_, n) => ({ beerId: `b${n}`, cost: 9, lines: 0, left: 0 }))
  const words = unavoidableInWords({ lines: [], beers }, { ofBeers: 63, together: 0, open: 0 }, names)
  expect(words[0]).toBe('No plan avoids 63.00 for its beers.')
  expect(words).toHaveLength(6)
})
