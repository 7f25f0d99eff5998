// Units of the trade are exact, convert there and back, and barrels are reckoned as the published rule says.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { barrelsOf, barrelsOfDay, inUnit, litresOf, unitNames, type VolumeUnitName } from '../../src/sheets/volumes.ts'

/** Litres as whole cubic tenths of a millimetre (10⁻⁹ L), so that the check is exact. */
const exactly = (litres: number) => BigInt(litres.toFixed(9).replace('.', ''))
const anyUnit = fc.constantFrom(...unitNames())

describe('the units', () => {
  // Gallon 4.54609 L: UK Weights and Measures Act as amended, Hong Kong Cap. 68 verbatim; pint 0.56826125 L, the same Act.
  // Statutory sizes of casks in gallons: secondary sources, arithmetic checked.
  it.each<[VolumeUnitName, bigint, bigint]>([
    ['IMPERIAL_PINT', 1n, 8n],
    ['IMPERIAL_GALLON', 1n, 1n],
    ['PIN', 9n, 2n],
    ['FIRKIN', 9n, 1n],
    ['KILDERKIN', 18n, 1n],
    ['IMPERIAL_BARREL', 36n, 1n],
    ['HOGSHEAD', 54n, 1n],
  ])('make a %s exactly %d/%d of an imperial gallon', (unit, parts, of) => {
    expect(exactly(litresOf(unit)) * of).toBe(4_546_090_000n * parts)
  })

  // 231 cubic inches of 2.54 cm each: NIST Handbook 44, App. C. A barrel of beer is 31 gallons: 27 CFR 25.151.
  it('make a US gallon 231 cubic inches, and a US beer barrel 31 of them', () => {
    expect(exactly(litresOf('US_GALLON'))).toBe(231n * 254n ** 3n)
    expect(exactly(litresOf('US_BEER_BARREL'))).toBe(31n * exactly(litresOf('US_GALLON')))
  })

  it('make a hectolitre a hundred litres', () => {
    expect([litresOf('HECTOLITRE'), litresOf('LITRE')]).toEqual([100, 1])
  })

  it('convert there and back to the same volume', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1e7, noNaN: true }), anyUnit, anyUnit, (amount, one, other) => {
        const there = inUnit(amount * litresOf(one), other)
        expect(Math.abs(inUnit(there * litresOf(other), one) / amount - 1)).toBeLessThan(1e-15 * 4)
      }),
    )
  })
})

describe('barrels', () => {
  // 27 CFR 25.156: 5 US gallons 0.16129, 30 L 0.25565, 50 L 0.42608.
  it.each([
    [5 * 3.785411784, 0.16129],
    [30, 0.25565],
    [50, 0.42608],
    [117.347765304, 1],
  ])('of %d L are %d', (litres, barrels) => {
    expect(barrelsOf({ litresEach: litres, quantity: 1 })).toBe(barrels)
  })

  // By hand: 40.91481 / 117.347765304 = 0.348663…, 20.457405 / 117.347765304 = 0.174331…
  it('of a firkin are 0.34866 and of a pin 0.17433, so of nine firkins 3.13794', () => {
    expect([40.91481, 20.457405].map((litresEach) => barrelsOf({ litresEach, quantity: 1 }))).toEqual([
      0.34866, 0.17433,
    ])
    expect(barrelsOf({ litresEach: 40.91481, quantity: 9 })).toBe(3.13794)
  })

  // 27 CFR 25.156(c): each quantity to five decimals, the sum of a day to two. By hand: 9 × 0.34866 + 7 × 0.25565 = 4.92749.
  it('of a day are the sum of five decimals, rounded to two', () => {
    const day = [
      { litresEach: 40.91481, quantity: 9 },
      { litresEach: 30, quantity: 7 },
    ]
    expect(barrelsOfDay(day)).toBe(4.93)
    expect(barrelsOfDay([])).toBe(0)
    // Each rounded to two decimals first would give 3 × 0.16 = 0.48.
    expect(barrelsOfDay(Array.from({ length: 3 }, () => ({ litresEach: 18.92705892, quantity: 1 })))).toBe(0.48)
    expect(barrelsOfDay(Array.from({ length: 4 }, () => ({ litresEach: 18.92705892, quantity: 1 })))).toBe(0.65)
  })

  it('of a day do not depend on the order in which they left', () => {
    const removal = fc.record({ litresEach: fc.double({ min: 1, max: 500, noNaN: true }), quantity: fc.nat(500) })
    fc.assert(
      fc.property(fc.array(removal, { maxLength: 30 }), (day) => {
        expect(barrelsOfDay([...day].reverse())).toBe(barrelsOfDay(day))
        const exact = day.reduce((sum, { litresEach, quantity }) => sum + (litresEach * quantity) / 117.347765304, 0)
        const containers = day.reduce((sum, { quantity }) => sum + quantity, 0)
        expect(Math.abs(barrelsOfDay(day) - exact)).toBeLessThanOrEqual(0.005 + containers * 0.000005 + 1e-6)
      }),
    )
  })
})
