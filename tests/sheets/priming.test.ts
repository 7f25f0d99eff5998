// Priming sugar: by molar masses, never more than the target asks for, and none without proof that fermentation has ended.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dissolvedVolumes, expectedVolumes } from '../../src/sheets/carbonation.ts'
import { type PrimingInput, primingSugar, residueVolumes, SUGAR_KINDS, sugarVolumes } from '../../src/sheets/priming.ts'
import { allFigures, known, reckon } from '../support/reckon.ts'

const dissolved = (measuredVolumes: number) => dissolvedVolumes({ measuredVolumes })
const ended = residueVolumes({ presentGravity: 1.01, expectedFinalGravity: 1.01 })
const firkin: PrimingInput = {
  isFermentationProven: true,
  targetVolumes: 1.5,
  dissolved: dissolved(1.1),
  residue: ended,
  litres: 40.91481,
  sugar: 'SUCROSE',
}
const volumes = fc.double({ min: 0, max: 4, noNaN: true })
const litres = fc.double({ min: 1, max: 250, noNaN: true })
const sugarKind = fc.constantFrom(...SUGAR_KINDS)

describe('the kinds of sugar', () => {
  // IUPAC abridged atomic weights: H 1.008, C 12.011, O 15.999. C₁₂H₂₂O₁₁ + H₂O → 4 C₂H₅OH + 4 CO₂; C₆H₁₂O₆ → 2 C₂H₅OH + 2 CO₂.
  const [h, c, o] = [1.008, 12.011, 15.999]
  const co2 = c + 2 * o
  const glucose = 6 * c + 12 * h + 6 * o
  it.each([
    ['SUCROSE', (4 * co2) / (12 * c + 22 * h + 11 * o), 0.5143],
    ['GLUCOSE', (2 * co2) / glucose, 0.4886],
    ['GLUCOSE_MONOHYDRATE', (2 * co2) / (glucose + 2 * h + o), 0.4442],
  ] as const)('give as much CO₂ as their molar masses say: %s', (sugar, byMass, printed) => {
    expect(byMass.toFixed(4)).toBe(printed.toFixed(4))
    const { constants } = primingSugar({ ...firkin, sugar })
    expect(constants.find(({ name }) => name === 'CO₂ from a gram of sugar')?.value).toBe(printed)
  })
})

describe('what is left to ferment', () => {
  it('is what a hand reckons from the gravities', () => {
    const figure = residueVolumes({ presentGravity: 1.012, expectedFinalGravity: 1.01 })
    // By hand: 0.002 × 2,590 = 5.18 g/L; × 0.81 = 4.196 g/L; × 0.5143 = 2.158 g/L of CO₂; / 1.963 = 1.099 volumes.
    expect(known(figure)).toBeCloseTo(1.099, 3)
    expect(reckon(figure)).toBeCloseTo(known(figure), 12)
  })

  // Rule of thumb of the trade: one point of gravity (0.001) ferments to about half a volume (common practice, from memory).
  it('is about half a volume for a point of gravity', () => {
    const point = known(residueVolumes({ presentGravity: 1.011, expectedFinalGravity: 1.01 }))
    expect(point).toBeGreaterThan(0.45)
    expect(point).toBeLessThan(0.57)
  })

  it('is none at the expected end or below it', () => {
    expect(ended.value).toBe(0)
    expect(residueVolumes({ presentGravity: 1.008, expectedFinalGravity: 1.01 }).value).toBe(0)
  })

  it('is not reckoned without both gravities, or with one that no beer has', () => {
    expect(residueVolumes({})).toMatchObject({
      value: undefined,
      missing: ['present gravity', 'expected final gravity'],
    })
    expect(residueVolumes({ presentGravity: 10.1, expectedFinalGravity: 1.01 })).toMatchObject({
      value: undefined,
      warnings: [{ code: 'OUT_OF_RANGE', params: { name: 'present gravity' } }],
    })
  })
})

describe('priming sugar', () => {
  it('is what a hand reckons from the printed formula', () => {
    const figure = primingSugar(firkin)
    // By hand: 1.5 − 1.1 − 0 = 0.4 volumes; × 40.91481 L × 1.963 g/L = 32.13 g of CO₂; / 0.5143 = 62.47 g, so 62 g.
    expect(figure).toMatchObject({ value: 62, unit: 'g', missing: [], warnings: [] })
    for (const each of allFigures(figure)) expect(reckon(each)).toBeCloseTo(known(each), 10)
  })

  // Published priming tables: 4 g of sucrose, or 4.2 g to 4.5 g of glucose or its monohydrate, for a litre and a volume of CO₂ (from memory, rounded).
  it('is about four grams of sucrose for a litre and a volume', () => {
    const one = { ...firkin, targetVolumes: 1, dissolved: dissolved(0), litres: 100 }
    expect(primingSugar(one).value).toBe(381)
    expect(primingSugar({ ...one, sugar: 'GLUCOSE' }).value).toBe(401)
    expect(primingSugar({ ...one, sugar: 'GLUCOSE_MONOHYDRATE' }).value).toBe(441)
  })

  it('counts what is left to ferment', () => {
    const residue = residueVolumes({ presentGravity: 1.0103, expectedFinalGravity: 1.01 })
    // By hand: 0.0003 × 2,590 × 0.81 × 0.5143 / 1.963 = 0.1649 volumes; 0.2351 × 40.91481 × 1.963 / 0.5143 = 36.7 g.
    expect(primingSugar({ ...firkin, residue })).toMatchObject({ value: 36, warnings: [] })
  })

  it('is never negative, and more dissolved CO₂ never asks for more of it', () => {
    fc.assert(
      fc.property(volumes, volumes, volumes, litres, sugarKind, (targetVolumes, one, other, size, sugar) => {
        const grams = (of: number) =>
          known(primingSugar({ ...firkin, targetVolumes, dissolved: dissolved(of), litres: size, sugar }))
        const [less, more] = [Math.min(one, other), Math.max(one, other)]
        expect(grams(more)).toBeGreaterThanOrEqual(0)
        expect(grams(more)).toBeLessThanOrEqual(grams(less))
      }),
    )
  })

  it('scales with the volume, but for the gram that rounding takes', () => {
    fc.assert(
      fc.property(volumes, litres, fc.integer({ min: 2, max: 4 }), (targetVolumes, size, times) => {
        const grams = (of: number) => known(primingSugar({ ...firkin, targetVolumes, litres: of }))
        const apart = grams(size * times) - times * grams(size)
        expect(apart).toBeGreaterThanOrEqual(0)
        expect(apart).toBeLessThanOrEqual(times)
      }),
    )
  })

  it('and what is dissolved and left to ferment never go past the target together', () => {
    fc.assert(
      fc.property(volumes, volumes, fc.double({ min: 0, max: 0.004, noNaN: true }), litres, sugarKind, (...drawn) => {
        const [targetVolumes, before, points, size, kind] = drawn
        const residue = residueVolumes({ presentGravity: 1.01 + points, expectedFinalGravity: 1.01 })
        const parts = { dissolved: dissolved(before), residue }
        const grams = primingSugar({ ...firkin, ...parts, targetVolumes, litres: size, sugar: kind })
        const expected = known(expectedVolumes({ ...parts, fromSugar: sugarVolumes({ grams, kind, litres: size }) }))
        const without = before + known(residue)
        if (without > targetVolumes) expect(grams).toMatchObject({ value: 0, warnings: [{}] })
        else {
          expect(grams.warnings).toEqual([])
          expect(expected).toBeLessThanOrEqual(targetVolumes + 1e-6)
          expect((targetVolumes - expected) * size * 1.963).toBeLessThan(0.5143 + 1e-6)
        }
      }),
    )
  })

  it('is none, with a warning, where residue alone over-primes or the beer has its CO₂ already', () => {
    const residue = residueVolumes({ presentGravity: 1.012, expectedFinalGravity: 1.01 })
    expect(primingSugar({ ...firkin, residue })).toMatchObject({
      value: 0,
      warnings: [{ code: 'RESIDUE_OVER_PRIMES', params: { target: 1.5, volumes: expect.closeTo(2.199, 3) } }],
    })
    expect(primingSugar({ ...firkin, dissolved: dissolved(1.6) })).toMatchObject({
      value: 0,
      warnings: [{ code: 'ALREADY_CARBONATED', params: { dissolved: 1.6, target: 1.5 } }],
    })
    expect(primingSugar({ ...firkin, dissolved: dissolved(1.5) })).toMatchObject({ value: 0, warnings: [] })
  })

  it('has no figure without proof of fermentation, however much else is known', () => {
    const unproven = primingSugar({ ...firkin, isFermentationProven: false })
    expect(unproven).toMatchObject({ value: undefined, missing: [], warnings: [{ code: 'FERMENTATION_NOT_PROVEN' }] })
    // The danger that is known is said all the same.
    const residue = residueVolumes({ presentGravity: 1.02, expectedFinalGravity: 1.01 })
    const codes = primingSugar({ ...firkin, residue, isFermentationProven: false }).warnings.map(({ code }) => code)
    expect(codes).toEqual(['FERMENTATION_NOT_PROVEN', 'RESIDUE_OVER_PRIMES'])
  })

  it('lists by name all that lacks, and leaves the line empty', () => {
    const nothing = primingSugar({
      isFermentationProven: true,
      dissolved: dissolvedVolumes({}),
      residue: residueVolumes({}),
    })
    expect(nothing).toMatchObject({
      value: undefined,
      missing: [
        'target carbonation',
        'litres',
        'kind of sugar',
        'warmest temperature since fermentation ended',
        'present gauge pressure',
        'present temperature',
        'present gravity',
        'expected final gravity',
      ],
    })
    const each = (lacking: Partial<PrimingInput>) => primingSugar({ ...firkin, ...lacking })
    expect(each({ targetVolumes: undefined })).toMatchObject({ value: undefined, missing: ['target carbonation'] })
    expect(each({ litres: undefined })).toMatchObject({ value: undefined, missing: ['litres'] })
    expect(each({ sugar: undefined })).toMatchObject({ value: undefined, missing: ['kind of sugar'] })
  })
})

describe('the volumes that sugar gives', () => {
  it('are reckoned from the printed formula', () => {
    const figure = sugarVolumes({ grams: primingSugar(firkin), kind: 'SUCROSE', litres: 40.91481 })
    // By hand: 62 × 0.5143 / 40.91481 / 1.963 = 0.397.
    expect(known(figure)).toBeCloseTo(0.397, 3)
    expect(reckon(figure)).toBeCloseTo(known(figure), 12)
    expect(sugarVolumes({ grams: primingSugar(firkin), kind: undefined, litres: undefined }).missing).toEqual([
      'litres',
      'kind of sugar',
    ])
  })
})
