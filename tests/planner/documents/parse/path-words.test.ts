// Paths in words: what people read names no `lines[1]`.
import { expect, test } from 'vitest'
import { pathInWords } from '../../../../src/planner/documents/parse/path-words.ts'

test.each([
  ['', ''],
  ['lines[0].quantity', 'quantity of line 1'],
  ['changeLines[1].line', 'line of change line 2'],
  ['account', 'account'],
  ['scenarios[2].changes[0].account.routes[1]', 'route 2 of account of change 1 of scenario 3'],
  ['setupMinutesByBeer[0].beer', 'beer of setup minutes by beer 1'],
  ['minutesOn["2027-03-01"]', 'minutes on "2027-03-01"'],
  ['input.offerToken', 'offer token'],
  ['Order/cac:OrderLine[2]/cbc:Note', 'Order/cac:OrderLine[2]/cbc:Note'],
])('%s is said as "%s"', (path, words) => {
  expect(pathInWords(path)).toBe(words)
})
