// A figure is reckoned where all that it needs is known, and otherwise says by name what lacks.
import { describe, expect, it } from 'vitest'
import { figureOf, withWarnings } from '../../src/sheets/figure.ts'
import { reckon } from '../support/reckon.ts'

const half = (litres: number | undefined) =>
  figureOf({
    unit: 'L',
    formula: 'litres / 2',
    inputs: [{ name: 'litres', value: litres, unit: 'L', within: { least: 0, most: 100 } }],
    compute: (of) => of('litres') / 2,
  })
const sum = (first: number | undefined, second: number | undefined) =>
  figureOf({
    unit: 'L',
    formula: 'half + tare',
    inputs: [
      { name: 'half', value: half(first), unit: 'L' },
      { name: 'tare', value: second, unit: 'kg' },
    ],
    compute: (of) => of('half') + of('tare'),
  })

describe('a figure', () => {
  it('has a value and no faults where all is known, and shows the figures that it is made of', () => {
    const figure = sum(8, 3)
    expect(figure).toMatchObject({ value: 7, unit: 'L', missing: [], warnings: [] })
    expect(figure.inputs[0]?.from?.value).toBe(4)
    expect(reckon(figure)).toBe(7)
  })

  it('lists all that lacks by name, that of the figures which it is made of too, and has no value', () => {
    expect(sum(undefined, undefined)).toMatchObject({ value: undefined, missing: ['tare', 'litres'], inputs: [] })
    expect(sum(8, undefined)).toMatchObject({
      value: undefined,
      missing: ['tare'],
      inputs: [{ name: 'half', value: 4 }],
    })
  })

  it('has no value outside the range of its formula, and neither has one that is made of it', () => {
    expect(half(0).value).toBe(0)
    expect(half(100).value).toBe(50)
    const warnings = [{ code: 'OUT_OF_RANGE', params: { name: 'litres', value: 101, unit: 'L', least: 0, most: 100 } }]
    expect(half(101)).toMatchObject({ value: undefined, missing: [], warnings })
    expect(sum(101, 3)).toMatchObject({ value: undefined, missing: [], warnings })
  })

  it('takes zero for a value that is known', () => {
    expect(sum(0, 0)).toMatchObject({ value: 0, missing: [] })
  })

  it('has no value where something refuses it, though all is known', () => {
    const figure = figureOf({
      unit: 'g',
      formula: 'litres',
      inputs: [{ name: 'litres', value: 1, unit: 'L' }],
      refusals: [{ code: 'FERMENTATION_NOT_PROVEN', params: {} }],
      compute: (of) => of('litres'),
    })
    expect(figure).toMatchObject({ value: undefined, missing: [], warnings: [{ code: 'FERMENTATION_NOT_PROVEN' }] })
  })

  it('says the same warning once', () => {
    const warning = { code: 'ABOVE_BAND', params: { volumes: 3 } } as const
    expect(withWarnings(withWarnings(half(1), [warning]), [warning]).warnings).toEqual([warning])
  })
})
