import { describe, expect, it } from 'vitest'
import { each, ModelBuilder } from '../../../src/planner/bound/linear-model.ts'

describe('the model builder', () => {
  it('adds up a column that a row names twice, and leaves out what cancels', () => {
    const rows = new ModelBuilder()
    const [a, b] = [rows.column(), rows.binary(3)]
    rows.atMost([...each([a, b, a]), [b, -1]], 7)
    const model = rows.build()
    expect([...model.columns]).toEqual([a])
    expect([...model.values]).toEqual([2])
    expect([...model.starts]).toEqual([0, 1])
    expect([...model.rowUpper]).toEqual([7])
    expect([...model.whole]).toEqual([0, 1])
  })

  it('leaves out a row without columns, and refuses one that can never hold', () => {
    const rows = new ModelBuilder()
    rows.atMost([], 5)
    expect(rows.build().rowCount).toBe(0)
    expect(() => rows.equal([], 1)).toThrow(RangeError)
  })
})
