// A distributor has at most so many open lines; what is beyond is refused by its field.
import { expect, test } from 'vitest'
import { MOST_OPEN_LINES, openLineFaults } from '../../../src/resolvers/orders/most-open-lines.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

const lines = (count: number) => {
  const { orderLines } = oneVesselBrewery({ orderLines: [order('a', 5, 8)] })
  return { orderLines: Array.from({ length: count }, () => orderLines).flat() }
}

test('as many as there may be are let in, and none beyond', () => {
  expect(openLineFaults(lines(MOST_OPEN_LINES - 2), 2, 'lines')).toEqual([])
  expect(openLineFaults(lines(MOST_OPEN_LINES - 1), 2, 'lines')).toMatchObject([
    { path: 'lines', code: 'TOO_MANY_OPEN_LINES', message: 'there are 19,999 open lines, and at most 20,000 may be' },
  ])
  expect(openLineFaults(lines(MOST_OPEN_LINES + 1), 0, 'addLines')).toEqual([])
})
