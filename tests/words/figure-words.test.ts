// Figures in words: values as they are read at the tanks, warnings as sentences, and all that a hand needs to reckon them again.
import { describe, expect, it } from 'vitest'
import { dissolvedVolumes } from '../../src/sheets/carbonation.ts'
import { type FigureWarning, WARNING_CODES } from '../../src/sheets/figure.ts'
import { primingSugar, residueVolumes } from '../../src/sheets/priming.ts'
import { fullWeight } from '../../src/sheets/weights.ts'
import { howReached, missingInWords, valueInWords, warningInWords } from '../../src/words/figure-words.ts'

const params: FigureWarning['params'] = {
  ...{ name: 'present temperature', value: -1, unit: '°C', least: -0.15, most: 159.85 },
  ...{ volumes: 2.19912, dissolved: 1.6, target: 1.5, from: 1, to: 1.5 },
}

describe('warnings', () => {
  it.each(WARNING_CODES)('say %s in a sentence that lacks nothing', (code) => {
    const said = warningInWords({ code, params })
    expect(said).toMatch(/^[A-Z].*\.$/)
    expect(said).not.toMatch(/undefined|NaN/)
  })

  it('give the figures that they go by', () => {
    expect(warningInWords({ code: 'RESIDUE_OVER_PRIMES', params })).toContain(
      '2.2 volumes by itself, more than the 1.5',
    )
    expect(warningInWords({ code: 'OUT_OF_RANGE', params })).toContain('present temperature is -1 °C')
    expect(warningInWords({ code: 'ABOVE_BAND', params })).toContain(
      'comes to 2.2 volumes, and its pack should have 1 to 1.5',
    )
  })
})

describe('a value', () => {
  it('has the places that a hand reads, and is a blank where it is not known', () => {
    expect(valueInWords(fullWeight({ tareKg: 10, litres: 40.91481, finalGravity: 1.012 }))).toBe('51.4 kg')
    expect(valueInWords(dissolvedVolumes({ measuredVolumes: 1.234 }))).toBe('1.23 volumes')
    expect(valueInWords(fullWeight({}))).toBe('______ kg')
  })

  it('that is not known says what lacks', () => {
    expect(missingInWords(fullWeight({}))).toBe('Not known: tare and litres.')
    expect(missingInWords(fullWeight({ tareKg: 10, litres: 30 }))).toBe('')
  })
})

it('how a figure was reached shows formula, numbers and sources, and those of the figures that it is made of', () => {
  const sugar = primingSugar({
    isFermentationProven: true,
    targetVolumes: 1.5,
    dissolved: dissolvedVolumes({ measuredVolumes: 1.1 }),
    residue: residueVolumes({ presentGravity: 1.01, expectedFinalGravity: 1.01 }),
    litres: 40.91481,
    sugar: 'SUCROSE',
  })
  const lines = howReached(sugar, 'sugar')
  expect(lines.slice(0, 2)).toEqual([
    'sugar = 62 g = floor(max(0, target carbonation − dissolved CO₂ − CO₂ from residue) × litres × one volume of CO₂ / CO₂ from a gram of sugar)',
    'target carbonation = 1.5 volumes',
  ])
  expect(lines).toContain('litres = 40.91481 L')
  expect(lines).toContain('one volume of CO₂ = 1.963 g/L (ideal gas at 0 °C and 1 atm)')
  expect(lines).toContain('dissolved CO₂ = 1.1 volumes = measured CO₂')
  expect(lines).toContain('present gravity = 1.01 specific gravity')
})
