// The removals report on paper: of which records, and which strengths are only expected.
import { expect, test } from 'vitest'
import { removalsPage } from '../../src/print/removals-page.ts'
import { type Removed, removalsOf } from '../../src/sheets/removals.ts'

const moved = (beerId: string, strength: Removed['strength']): Removed => ({
  ...{
    kind: 'DISPATCHED',
    isAssumed: false,
    beerId,
    containerTypeId: 'Firkin',
    litresEach: 40.91481,
    quantity: 3,
    strength,
  },
})
const HEAD = { revision: 1207, madeAt: '2027-03-04T17:05:00Z', timeZone: 'Europe/London' }
const pageOf = (list: readonly Removed[]) =>
  removalsPage(
    { ...HEAD, from: '2027-03-04', to: '2027-03-04', isClosed: false, ...removalsOf(list) },
    (_kind, id) => id,
  )

test('the revision and the time stand at its head', () => {
  expect(pageOf([]).subtitle[0]).toBe('Thursday 4 March 2027 · made 4 Mar 2027, 17:05, revision 1207')
})

test('a strength that was not said of the brew is marked, and stands on a line of its own', () => {
  const { sections, subtitle } = pageOf([
    moved('Pale', { abv: 4.2, isExpected: false }),
    moved('Pale', { abv: 4.2, isExpected: true }),
    moved('Stout', undefined),
  ])
  expect(sections[0]?.table?.rows.map(([, , strength]) => strength)).toEqual(['4.2', '4.2*', '?', ''])
  expect(subtitle.at(-1)).toMatch(/^\* Strength that the beer should have/)
  expect(pageOf([moved('Pale', { abv: 4.2, isExpected: false })]).subtitle.join()).not.toContain('*')
})
