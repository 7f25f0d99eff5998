// A soak sees what grows and what leaves other rows than stated, and its page states the rows that it holds the acts to.
import { readFile } from 'node:fs/promises'
import { expect, test } from 'vitest'
import { leftBy } from '../../../tools/soak/acts.ts'
import { COUNTS, HEAP_SLACK, otherThanStated, whatGrew } from '../../../tools/soak/flat.ts'
import { statedTable } from '../../../tools/soak/tables.ts'

const MIB = 1024 * 1024
const hour = {
  ...{ connections: 4, sockets: 0, threads: 0, snapshots: 2, openPlans: 2, liveJobs: 8 },
  ...{ heap: 100 * MIB, logRows: 0, ledgerRows: 0 },
}
const day = Array.from({ length: 24 }, (_, n) => ({ ...hour, logRows: 30 * n, ledgerRows: 4 * n }))

test('hours that are alike have grown by nothing but rows, whatever comes and goes early', () => {
  expect(whatGrew(day)).toEqual([])
  expect(whatGrew(day.map((each, n) => ({ ...each, threads: n === 3 ? 2 : 0, liveJobs: 8 - (n % 2) })))).toEqual([])
})

test.each(COUNTS)('one more of %s in a late hour is named', (name) => {
  const grown = day.map((each, n) => ({ ...each, [name]: each[name] + (n === 20 ? 1 : 0) }))
  expect(whatGrew(grown)).toEqual([`${name}: ${hour[name]}, then ${hour[name] + 1}`])
})

test('a heap that grows by two mebibytes an hour is named, and one that is large for once is not', () => {
  const leaking = day.map((each, n) => ({ ...each, heap: each.heap + 2 * MIB * n }))
  expect(whatGrew(leaking)).toEqual([expect.stringMatching(/^heap: 24\.0 MiB/)])
  expect(whatGrew(day.map((each, n) => ({ ...each, heap: each.heap + (n === 20 ? 2 * HEAP_SLACK : 0) })))).toEqual([])
})

test('of one hour alone it cannot be said what grows', () => {
  expect(() => whatGrew([hour])).toThrow('two hours')
})

test('rows are counted for the act that made the revision, and those that follow from it by themselves', () => {
  const kinds = ['RESERVATION_EXPIRED', 'PROMISE_AT_RISK', 'ORDER_PLACED']
  const left = leftBy(kinds, 0, 'ORDER_PLACED')
  expect(left.map(({ act, log }) => [act, log])).toEqual([
    ['ORDER_PLACED', 1],
    ['EXPIRED', 1],
    ['MOVED', 1],
  ])
  expect(otherThanStated(left)).toEqual([])
  expect(leftBy(['DAYS_ROLLED', 'FACT_RECORDED'], 2, undefined)).toEqual([{ act: 'DAY_ROLLED', log: 2, ledger: 2 }])
})

test('an act that leaves more or fewer rows than stated is named', () => {
  expect(otherThanStated([{ act: 'ORDER_PLACED', log: 2, ledger: 0 }])).toEqual([
    'an order is placed: 2 rows of the log, not 1',
  ])
  expect(otherThanStated([{ act: 'BOUGHT', log: 1, ledger: 0 }])).toEqual([
    'containers are bought: 0 rows of the ledger, not 1',
  ])
})

test('what no act has written is a fault of the soak', () => {
  expect(() => leftBy(['VESSEL_CHANGED'], 0, undefined)).toThrow('VESSEL_CHANGED')
})

test('the page shows the rows by act that the soak holds them to', async () => {
  expect(await readFile('tools/soak/README.md', 'utf8')).toContain(statedTable())
})
