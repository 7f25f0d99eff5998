// Weights of full containers, and the caution of a lift by two.
import { describe, expect, it } from 'vitest'
import { litresOf } from '../../src/sheets/volumes.ts'
import { fullWeight, LIFT_FILTER, needsLiftCaution } from '../../src/sheets/weights.ts'
import { known, reckon } from '../support/reckon.ts'

describe('a full container', () => {
  // Handling guidance (secondary): a full firkin weighs about 50 kg. Tare of an empty steel one 9 to 10 kg, from memory.
  it('that is a firkin weighs about 50 kg', () => {
    expect(Math.abs(known(fullWeight({ tareKg: 9.5, litres: litresOf('FIRKIN') })) - 50)).toBeLessThan(2)
  })

  it('weighs what a hand reckons from the printed formula', () => {
    const figure = fullWeight({ tareKg: 10, litres: 40.91481, finalGravity: 1.012 })
    // By hand: 10 + 40.91481 × 1.012 × 1 = 51.406 kg.
    expect(figure).toMatchObject({ value: expect.closeTo(51.406, 3), unit: 'kg', missing: [] })
    expect(reckon(figure)).toBe(figure.value)
  })

  it('goes by a usual gravity where none is set up, and says so', () => {
    const figure = fullWeight({ tareKg: 10, litres: 30 })
    // By hand: 10 + 30 × 1.010 = 40.3 kg.
    expect(figure).toMatchObject({ value: 40.3, constants: [{ value: 1.01 }, {}] })
    expect(figure.formula).toBe('tare + litres × final gravity where none is set up × density of water')
    expect(reckon(figure)).toBe(figure.value)
  })

  it('has no weight without a tare, and says that the tare lacks', () => {
    expect(fullWeight({ litres: 40, finalGravity: 1.01 })).toMatchObject({ value: undefined, missing: ['tare'] })
    expect(fullWeight({})).toMatchObject({ value: undefined, missing: ['tare', 'litres'] })
  })
})

describe('the caution of a lift by two', () => {
  // HSE manual handling guidance: 25 kg is a filter at elbow height, not a limit.
  it('begins above 25 kg', () => {
    expect(LIFT_FILTER.value).toBe(25)
    const weighing = (tareKg: number) => needsLiftCaution(fullWeight({ tareKg, litres: 0 }))
    expect([weighing(24.9), weighing(25), weighing(25.1)]).toEqual([false, false, true])
  })

  it('is printed where the weight is not known', () => {
    expect(needsLiftCaution(fullWeight({ litres: 20 }))).toBe(true)
  })
})
