// The strength of blends and parts against sums of alcohol by hand.
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Beginning, strengthOf } from '../../../src/floor/facts/batch-strength.ts'

const base = { id: 'f', siteId: 's', day: '2027-03-01', recorded: 1, assumed: false }
const start = { vesselId: 'v', readyAt: '2027-03-01T08:00:00Z', primable: true, quarantined: false }
const brewed = (batchId: string, abv?: number): Beginning => ({
  ...base,
  kind: 'BREWED',
  data: {
    batchId,
    beerId: 'b',
    vesselId: 'v',
    ml: 1000,
    trubMl: 0,
    start,
    ingredients: [],
    ...(abv === undefined ? {} : { abv }),
  },
})
const blended = (newBatchId: string, parents: [batchId: string, ml: number][]): Beginning => ({
  ...base,
  kind: 'BLENDED',
  data: {
    newBatchId,
    toVesselId: 'v',
    start,
    parents: parents.map(([batchId, ml]) => ({ batchId, ml, emptied: false })),
  },
})
const part = (newBatchId: string, batchId: string): Beginning => ({
  ...base,
  kind: 'PART_TRANSFERRED',
  data: { batchId, newBatchId, toVesselId: 'v', ml: 100, emptied: false, start },
})

test('a blend has the mean of its parts by volume, also of parts that are parts and blends themselves', () => {
  const beginnings = new Map<string, Beginning>([
    ['weak', brewed('weak', 4)],
    ['strong', brewed('strong', 7)],
    ['half', part('half', 'strong')],
    [
      'blend',
      blended('blend', [
        ['weak', 300_000],
        ['half', 100_000],
      ]),
    ],
    [
      'again',
      blended('again', [
        ['blend', 100_000],
        ['weak', 100_000],
      ]),
    ],
  ])
  // 300 L of 4 % and 100 L of 7 % hold 19 L of alcohol: 4.75 % of 400 L.
  expect(strengthOf('blend', beginnings)).toBeCloseTo(4.75, 9)
  expect(strengthOf('again', beginnings)).toBeCloseTo(4.375, 9)
})

test('it is not known where that of one part is not', () => {
  const beginnings = new Map<string, Beginning>([
    ['said', brewed('said', 4)],
    ['not', brewed('not')],
    [
      'blend',
      blended('blend', [
        ['said', 1000],
        ['not', 1],
      ]),
    ],
  ])
  expect(strengthOf('blend', beginnings)).toBeUndefined()
  expect(strengthOf('elsewhere', beginnings)).toBeUndefined()
})

test('a blend is never weaker than its weakest part nor stronger than its strongest', () => {
  const parts = fc.array(
    fc.tuple(fc.double({ min: 0, max: 25, noNaN: true }), fc.integer({ min: 1, max: 5_000_000 })),
    {
      ...{ minLength: 2, maxLength: 5 },
    },
  )
  fc.assert(
    fc.property(parts, (given) => {
      const brews = given.map(([abv], n) => [`b${n}`, brewed(`b${n}`, abv)] as const)
      const blend = blended(
        'blend',
        given.map(([, ml], n) => [`b${n}`, ml]),
      )
      const found = strengthOf('blend', new Map([...brews, ['blend', blend]])) ?? Number.NaN
      const strengths = given.map(([abv]) => abv)
      expect(found).toBeGreaterThanOrEqual(Math.min(...strengths) - 1e-9)
      expect(found).toBeLessThanOrEqual(Math.max(...strengths) + 1e-9)
    }),
    { numRuns: 50 },
  )
})
