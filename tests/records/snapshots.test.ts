// Snapshots in memory are bounded by their number and by the bytes that they take.
import { expect, test } from 'vitest'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { estimatedBytes, MOST_BYTES, Snapshots } from '../../src/records/snapshots.ts'

const problem = sizedProblem({ lines: 40, vessels: 6, days: 30, seed: 1 })
const [line] = problem.orderLines
const today = problem.today
const version = { revision: 1, epoch: 'one' }

function snapshotOf(distributorId: string, lines: number) {
  const orderLines = line ? Array.from({ length: lines }, () => line) : []
  return { distributorId, ...version, today, problem: { ...problem, orderLines }, reserved: [], lastOrder: 0 }
}

const at = new Date('2027-03-01T12:00:00Z')
const isKept = (snapshots: Snapshots, distributorId: string) =>
  snapshots.inMemory(distributorId, version, { today, at }) !== undefined

test('of many small ones twenty are kept, those that were used last', () => {
  const snapshots = new Snapshots()
  for (let n = 0; n < 21; n++) {
    snapshots.keep(snapshotOf(`d${n}`, 1))
    expect(isKept(snapshots, 'd0')).toBe(true)
  }
  expect(isKept(snapshots, 'd1')).toBe(false)
  expect(isKept(snapshots, 'd20')).toBe(true)
})

test('of large ones no more are kept than their bytes allow, and the newest always is', () => {
  const snapshots = new Snapshots()
  const lines = 8000
  const fit = Math.floor(MOST_BYTES / estimatedBytes(snapshotOf('', lines)))
  expect(fit).toBeGreaterThan(1)
  for (let n = 0; n <= fit; n++) {
    snapshots.keep(snapshotOf(`d${n}`, lines))
    expect(snapshots.bytes).toBeLessThanOrEqual(MOST_BYTES)
  }
  expect(isKept(snapshots, 'd0')).toBe(false)
  expect(isKept(snapshots, `d${fit}`)).toBe(true)
  snapshots.keep(snapshotOf('huge', 100_000))
  expect(isKept(snapshots, 'huge')).toBe(true)
  expect(snapshots.bytes).toBeLessThanOrEqual(MOST_BYTES)
})
