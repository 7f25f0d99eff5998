// Finings, hops, sanitiser and CO₂ for a draw: by hand, in any unit of the trade, to a step that a hand can measure.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { co2ForDraw, finingsDose, hopsDose, sanitiserDose } from '../../src/sheets/finings.ts'
import { litresOf, unitNames } from '../../src/sheets/volumes.ts'
import { allFigures, known, reckon } from '../support/reckon.ts'

const [pin, firkin] = [litresOf('PIN'), litresOf('FIRKIN')]

describe('finings', () => {
  // Common practice: 128 mL for a US beer barrel are 22 mL for a pin. By hand: 128 × 20.457405 / 117.347765304 = 22.31.
  it('of 128 mL for a US beer barrel are 22 mL in a pin', () => {
    const figure = finingsDose({ amount: 128, per: 'US_BEER_BARREL' }, pin)
    expect(figure).toMatchObject({ value: 22, unit: 'mL', missing: [], warnings: [] })
    expect(reckon(figure)).toBe(22)
  })

  // By hand: 600 / 8 = 75 for a pin, an eighth of an imperial barrel; 500 × 0.4091481 = 204.6 for a firkin, read to 5 mL.
  it('go by an imperial barrel or a hectolitre as well, read to 5 mL above 100 mL', () => {
    expect(finingsDose({ amount: 600, per: 'IMPERIAL_BARREL' }, pin).value).toBe(75)
    const perHectolitre = finingsDose({ amount: 500, per: 'HECTOLITRE' }, firkin)
    expect(perHectolitre.value).toBe(205)
    expect(reckon(perHectolitre)).toBe(205)
  })

  it('do not depend on the unit of the rate, and are at most half a step from exact', () => {
    const amounts = fc.double({ min: 0, max: 2000, noNaN: true })
    fc.assert(
      fc.property(
        amounts,
        fc.double({ min: 1, max: 250, noNaN: true }),
        fc.constantFrom(...unitNames()),
        (...drawn) => {
          const [amount, litres, per] = drawn
          const inOwn = known(finingsDose({ amount: (amount / 100) * litresOf(per), per }, litres))
          const exact = (amount * litres) / 100
          expect(Math.abs(inOwn - exact)).toBeLessThanOrEqual(exact <= 100 ? 0.5 : 2.5 + 1e-9)
        },
      ),
    )
  })

  it('have no figure without a rate, and say that it lacks', () => {
    expect(finingsDose(undefined, pin)).toMatchObject({ value: undefined, missing: ['finings rate'] })
    expect(finingsDose(undefined, undefined)).toMatchObject({ value: undefined, missing: ['finings rate', 'litres'] })
  })
})

describe('dry hops', () => {
  // Arithmetic: 1.5 lb of 453.59237 g (NIST Handbook 44, App. C) in a US beer barrel of 117.347765304 L are 5.80 g/L.
  it('of 1.5 lb for a US beer barrel are 5.80 g/L', () => {
    const rate = { amount: 1.5 * 453.59237, per: 'US_BEER_BARREL' } as const
    expect((rate.amount / litresOf(rate.per)).toFixed(2)).toBe('5.80')
    // By hand: 5.798 × 20.457405 = 118.6, read to 5 g; × 10 = 57.98, read to 1 g.
    expect(hopsDose(rate, pin)).toMatchObject({ value: 120, unit: 'g' })
    expect(hopsDose(rate, 10)).toMatchObject({ value: 58 })
    expect(reckon(hopsDose(rate, pin))).toBe(120)
    expect(hopsDose(undefined, pin).missing).toEqual(['hops rate'])
  })
})

describe('sanitiser', () => {
  // Common practice: about 500 mL for a pin; more with the volume, from memory.
  it.each([
    ['PIN', 500],
    ['FIRKIN', 1000],
    ['KILDERKIN', 2000],
    ['HOGSHEAD', 6000],
  ] as const)('for a %s is %d mL', (cask, millilitres) => {
    const figure = sanitiserDose(litresOf(cask))
    expect(figure.value).toBe(millilitres)
    expect(reckon(figure)).toBe(millilitres)
  })
})

describe('CO₂ for a draw', () => {
  // Ideal gas at 0 °C and 1 atm: 1.963 g/L, the trade's one volume; the real gas is 1.977 g/L (from memory).
  it('is a volume for each litre at 0 °C without pressure', () => {
    expect(known(co2ForDraw({ litres: 1000, topGaugeBar: 0, celsius: 0 }))).toBeCloseTo(1.963, 3)
  })

  it('is what a hand reckons from the printed formula', () => {
    const figure = co2ForDraw({ litres: 800, topGaugeBar: 0.3, celsius: 4 })
    // By hand: 1.31325 bar × 800 L × 44.009 g/mol / (10 × 8.314463 × 277.15 K) = 46,236 / 23,044 = 2.0065 kg.
    expect(known(figure)).toBeCloseTo(2.0065, 3)
    for (const each of allFigures(figure)) expect(reckon(each)).toBeCloseTo(known(each), 10)
  })

  it('is not reckoned for a vessel whose gauge shows a vacuum, or without a gauge', () => {
    expect(co2ForDraw({ litres: 800, topGaugeBar: -0.1, celsius: 4 })).toMatchObject({
      value: undefined,
      warnings: [{ code: 'OUT_OF_RANGE', params: { name: 'top pressure' } }],
    })
    expect(co2ForDraw({ litres: 800 }).missing).toEqual(['top pressure', 'temperature'])
  })
})
