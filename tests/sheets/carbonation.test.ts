// CO₂ in beer, held against tables of CO₂ in water and against the published table of what fermentation leaves.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  dissolvedVolumes,
  equilibriumVolumes,
  expectedVolumes,
  henryConstant,
  openTankVolumes,
} from '../../src/sheets/carbonation.ts'
import { allFigures, known, reckon } from '../support/reckon.ts'

const volumesAt = (celsius: number, gaugeBar: number) => known(equilibriumVolumes({ celsius, gaugeBar }))
const apart = (value: number, published: number) => Math.abs(value / published - 1)
const measuredBeer = { warmestCelsiusSinceFermented: 20, presentCelsius: 10, presentGaugeBar: 0.2 }
const anyCelsius = fc.double({ min: 0, max: 40, noNaN: true })
const anyGauge = fc.double({ min: 0, max: 4, noNaN: true })

describe("Henry's constant", () => {
  // Carroll, Slupsky & Mather, J. Phys. Chem. Ref. Data 20, 1201 (1991): the correlation, reckoned outside the project.
  it.each([
    [0, 74.29],
    [4, 85.63],
    [10, 104.61],
    [12, 111.46],
    [20, 141.36],
  ])('at %d °C is %d MPa', (celsius, megapascals) => {
    expect(known(henryConstant(celsius))).toBeCloseTo(megapascals, 1)
    expect(known(henryConstant(celsius)).toFixed(2)).toBe(megapascals.toFixed(2))
  })

  // CRC Handbook, solubility of CO₂ in water, 1000 × mole fraction at 100 kPa; its estimated accuracy is about 2 %.
  it.each([
    [0, 1.337],
    [5, 1.123],
    [10, 0.95],
    [15, 0.814],
    [20, 0.704],
  ])('at %d °C gives the mole fraction of the handbook, 0.001 × %d, within 2 %%', (celsius, thousandths) => {
    expect(apart((1000 * 0.1) / known(henryConstant(celsius)), thousandths)).toBeLessThan(0.02)
  })
})

describe('equilibrium', () => {
  // Murray & Riley 1971 in the IUPAC–NIST Solubility Database, SRD 106: Bunsen coefficients at 1 atm of CO₂, of the real
  // gas, 1.977 g/L (from memory). It claims ±0.02 K and no error of the solubility. Both agree within the 2 % of the
  // handbook up to 15 °C; at 20 °C the correlation lies 2.4 % above it, as it does above its mole fraction of 7.009e-4.
  it.each([
    [5, 1.4199, 0.02],
    [10, 1.1926, 0.02],
    [15, 1.01, 0.02],
    [20, 0.8652, 0.025],
  ])('at %d °C and 1 atm of CO₂ is the Bunsen coefficient %d within %d of it', (celsius, bunsen, within) => {
    expect(apart(volumesAt(celsius, 0), (bunsen * 1.977) / 1.963)).toBeLessThan(within)
  })

  it('is what a hand reckons from the printed formula and constants', () => {
    const figure = equilibriumVolumes({ celsius: 10, gaugeBar: 0.5 })
    // By hand, with H = 104.61 MPa: 1.51325 / (1046.1 − 1.51325) = 0.00144865 mol for each mol of water;
    // × 55.509 mol/L × 44.009 g/mol = 3.5389 g/L; / 1.963 g/L = 1.803 volumes.
    expect(known(figure)).toBeCloseTo(1.803, 3)
    const figures = allFigures(figure)
    expect(figures.map(({ unit }) => unit)).toEqual(['volumes', 'MPa', 'K'])
    for (const each of figures) expect(reckon(each)).toBeCloseTo(known(each), 10)
    for (const { source } of figures.flatMap(({ constants }) => constants)) expect(source).not.toBe('')
  })

  it('rises with the pressure and falls with the temperature', () => {
    fc.assert(
      fc.property(anyCelsius, anyGauge, (celsius, gaugeBar) => {
        const here = volumesAt(celsius, gaugeBar)
        expect(volumesAt(celsius, gaugeBar + 0.01)).toBeGreaterThan(here)
        expect(volumesAt(celsius + 0.1, gaugeBar)).toBeLessThan(here)
      }),
    )
  })

  it.each([
    [-1, 0, 'temperature'],
    [160, 0, 'temperature'],
    [10, -0.1, 'gauge pressure'],
    [10, 9, 'gauge pressure'],
  ])('at %d °C and %d bar is refused, and not guessed', (celsius, gaugeBar, name) => {
    const figure = equilibriumVolumes({ celsius, gaugeBar })
    expect(figure).toMatchObject({
      value: undefined,
      missing: [],
      warnings: [{ code: 'OUT_OF_RANGE', params: { name } }],
    })
  })
})

describe('what fermentation leaves in an open tank', () => {
  // Draper's priming tables (published table), CO₂ left at 1 atm: the first three are printed to one decimal.
  it.each([
    [0, 1.7, 0.05],
    [4, 1.5, 0.05],
    [10, 1.2, 0.05],
    [12, 1.12, 0.02],
    [16, 0.99, 0.02],
    [20, 0.88, 0.02],
    [22, 0.83, 0.02],
  ])('at %d °C is %d volumes, within 0.02 or the place that is printed', (celsius, volumes, within) => {
    expect(Math.abs(known(openTankVolumes(celsius)) - volumes)).toBeLessThan(within)
  })
})

describe('what is dissolved before a fill', () => {
  it('is what was measured, whatever the estimate says', () => {
    expect(dissolvedVolumes({ ...measuredBeer, measuredVolumes: 0.7 })).toMatchObject({
      value: 0.7,
      formula: 'measured CO₂',
    })
    expect(dissolvedVolumes({ measuredVolumes: 0 })).toMatchObject({ value: 0, missing: [] })
  })

  it('is otherwise the larger of what an open tank left when it was warmest and of equilibrium now', () => {
    // Warm once, cold now, little pressure: equilibrium of cold beer is more than what was left.
    expect(dissolvedVolumes(measuredBeer).value).toBe(volumesAt(10, 0.2))
    // Warm now, and without pressure: it was no warmer before, so what was left counts.
    const warm = dissolvedVolumes({ warmestCelsiusSinceFermented: 12, presentCelsius: 16, presentGaugeBar: 0 })
    expect(warm.value).toBe(openTankVolumes(12).value)
    for (const each of allFigures(warm)) expect(reckon(each)).toBeCloseTo(known(each), 10)
  })

  it('lists by name what lacks, and never guesses', () => {
    expect(dissolvedVolumes({})).toMatchObject({
      value: undefined,
      missing: ['warmest temperature since fermentation ended', 'present gauge pressure', 'present temperature'],
    })
    expect(dissolvedVolumes({ ...measuredBeer, presentGaugeBar: undefined })).toMatchObject({
      value: undefined,
      missing: ['present gauge pressure'],
    })
  })

  it('is not reckoned for beer below the range of the correlation, which is then to be measured', () => {
    const cold = { ...measuredBeer, presentCelsius: -1 }
    expect(dissolvedVolumes(cold)).toMatchObject({
      value: undefined,
      warnings: [
        { code: 'OUT_OF_RANGE', params: { name: 'present temperature', value: -1, unit: '°C', least: -0.15 } },
      ],
    })
    expect(dissolvedVolumes({ ...cold, measuredVolumes: 1.4 }).value).toBe(1.4)
  })

  it('is never less than either estimate', () => {
    fc.assert(
      fc.property(anyCelsius, anyCelsius, anyGauge, (warmest, present, gaugeBar) => {
        const value = known(
          dissolvedVolumes({
            warmestCelsiusSinceFermented: warmest,
            presentCelsius: present,
            presentGaugeBar: gaugeBar,
          }),
        )
        expect(value).toBeGreaterThanOrEqual(known(openTankVolumes(warmest)))
        expect(value).toBeGreaterThanOrEqual(volumesAt(present, gaugeBar))
      }),
    )
  })
})

describe('what a pack will have', () => {
  const dissolved = dissolvedVolumes({ measuredVolumes: 1.1 })
  const fromSugar = dissolvedVolumes({ measuredVolumes: 0.6 })

  it('is the sum of its parts, and those that it has not do not count', () => {
    const figure = expectedVolumes({ dissolved, fromSugar })
    expect(figure.value).toBeCloseTo(1.7, 12)
    expect(figure.formula).toBe('dissolved CO₂ + CO₂ from sugar')
    expect(reckon(figure)).toBe(figure.value)
    expect(expectedVolumes({ dissolved }).value).toBe(1.1)
  })

  it('warns outside the band of the pack only', () => {
    const codesOf = (from: number, to: number) =>
      expectedVolumes({ dissolved }, { from, to }).warnings.map(({ code }) => code)
    expect(codesOf(1.1, 1.5)).toEqual([])
    expect(codesOf(0.8, 1.1)).toEqual([])
    expect(codesOf(1.2, 1.5)).toEqual(['BELOW_BAND'])
    expect(codesOf(0.8, 1)).toEqual(['ABOVE_BAND'])
    expect(expectedVolumes({ dissolved: dissolvedVolumes({}) }, { from: 1, to: 2 }).warnings).toEqual([])
  })
})
