// What differs between two states of a record, as a refused adoption tells it: in words, not as documents.
import { expect, test } from 'vitest'
import { packsIn, recordDifferences } from '../../../src/resolvers/plans/record-differences.ts'

const line = (id: string, lineNumber: number, quantity: number, packId = 'p-1') => ({
  ...{ id, lineNumber, quantity, packId, serveOn: '2027-03-12', promisedOn: null },
})

test('lines of an order are named by their numbers, those that came or went as what they ask for', () => {
  const before = { number: 7, note: null, lines: [line('a', 1, 4), line('b', 2, 2)] }
  const now = { number: 7, note: 'Bar at the back', lines: [line('a', 1, 6, 'p-2'), line('c', 3, 1)] }
  const packs = new Map([
    ['p-1', 'Best, firkin'],
    ['p-2', 'Best, pin'],
  ])
  expect([...new Set(packsIn(now))].sort()).toEqual(['p-1', 'p-2'])
  expect(recordDifferences(before, now, packs)).toEqual([
    { what: 'note', before: null, now: 'Bar at the back' },
    { what: 'line 1: quantity', before: '4', now: '6' },
    { what: 'line 1: pack', before: 'Best, firkin', now: 'Best, pin' },
    { what: 'line 2', before: '2 of pack "Best, firkin" for 2027-03-12', now: null },
    { what: 'line 3', before: null, now: '1 of pack "Best, firkin" for 2027-03-12' },
  ])
})

test('things within things, spans of days and lists are put into words', () => {
  const before = { order: { status: 'RESERVED', lines: [] }, outOfService: [], weekdays: [1, 2], each: { firkin: 2 } }
  const spans = [{ from: '2027-03-01', to: '2027-03-05' }]
  const now = { order: { status: 'LAPSED', lines: [] }, outOfService: spans, weekdays: [1, 3], each: { firkin: 3 } }
  expect(recordDifferences(before, now, new Map())).toEqual([
    { what: 'order: status', before: 'RESERVED', now: 'LAPSED' },
    { what: 'outOfService', before: 'none', now: '2027-03-01 to 2027-03-05' },
    { what: 'weekdays', before: '1, 2', now: '1, 3' },
    { what: 'each: firkin', before: '2', now: '3' },
  ])
})
