// The working order of a fill: casks are chocked, closed and rolled; kegs have no closures and do not overflow.
import { describe, expect, it } from 'vitest'
import { dissolvedVolumes } from '../../src/sheets/carbonation.ts'
import {
  FILL_STEP_CODES,
  type FillRunWork,
  fillSteps,
  PURGE_PRESSURE,
  purgeChoice,
} from '../../src/sheets/fill-steps.ts'
import { co2ForDraw, finingsDose, hopsDose, sanitiserDose } from '../../src/sheets/finings.ts'
import { primingSugar, residueVolumes } from '../../src/sheets/priming.ts'
import { litresOf } from '../../src/sheets/volumes.ts'

const litres = litresOf('FIRKIN')
const sugar = primingSugar({
  ...{ isFermentationProven: true, targetVolumes: 1.5, litres, sugar: 'SUCROSE' },
  dissolved: dissolvedVolumes({ measuredVolumes: 1.1 }),
  residue: residueVolumes({ presentGravity: 1.01, expectedFinalGravity: 1.01 }),
})
const casks: FillRunWork = {
  container: { name: 'firkin', kind: 'CASK', ratingBar: 3.5 },
  doses: {
    sanitiser: sanitiserDose(litres),
    finings: finingsDose({ amount: 128, per: 'US_BEER_BARREL' }, litres),
    sugar,
  },
  purge: purgeChoice({ kind: 'CASK', isDryHopped: false, isPrimed: true }),
  vessel: { kind: 'FERMENTER', isEmptied: true },
  store: { climate: 'WARM', until: '2027-03-12' },
}
const kegs: FillRunWork = {
  container: { name: '30 L keg', kind: 'KEG' },
  doses: { sanitiser: sanitiserDose(30) },
  purge: purgeChoice({ kind: 'KEG', isDryHopped: true, isPrimed: false }),
  vessel: { kind: 'BRIGHT', isEmptied: true, co2: co2ForDraw({ litres: 600, topGaugeBar: 0.8, celsius: 2 }) },
  store: { climate: 'COLD', until: '2027-03-12' },
}
const codesOf = (run: FillRunWork) => fillSteps(run).map(({ code }) => code)
const hops = hopsDose({ amount: 100, per: 'HECTOLITRE' }, litres)

describe('the steps of a cask fill', () => {
  it('stand in working order', () => {
    expect(codesOf({ ...casks, doses: { ...casks.doses, hops } })).toEqual([
      'CHOCK',
      'INSPECT_CASK',
      'VENT_RETURNED',
      'SANITISE_CASK',
      'KEYSTONE',
      'FININGS',
      'SUGAR',
      'HOPS',
      'NO_PURGE',
      'MAY_BREATHE',
      'CLEAR_HOSE',
      'FILL_CASK',
      'SHIVE',
      'ROLL',
      'STORE',
    ])
  })

  it('carry the amounts as figures, and leave out what the pack does not get', () => {
    const amounts = fillSteps(casks).flatMap(({ code, figure }) => (figure ? [[code, figure.value]] : []))
    expect(amounts).toEqual([
      ['SANITISE_CASK', 1000],
      ['FININGS', 45],
      ['SUGAR', 62],
    ])
    const plain = { ...casks, doses: { sanitiser: casks.doses.sanitiser } }
    expect(codesOf(plain).filter((code) => ['FININGS', 'SUGAR', 'HOPS'].includes(code))).toEqual([])
  })

  it('keep a step whose amount is not known, so that its line stays empty', () => {
    const unknown = { ...casks, doses: { ...casks.doses, finings: finingsDose(undefined, litres) } }
    const finings = fillSteps(unknown).find(({ code }) => code === 'FININGS')
    expect(finings?.figure).toMatchObject({ value: undefined, missing: ['finings rate'] })
  })
})

describe('the steps of a keg fill', () => {
  it('have no chock, no closures, no overflow, no rolling', () => {
    expect(codesOf(kegs)).toEqual([
      'INSPECT_KEG',
      'VENT_RETURNED',
      'SANITISE_KEG',
      'PURGE_KEG',
      'KEEP_TOP_PRESSURE',
      'CLEAR_HOSE',
      'FILL_KEG',
      'CHECK_VALVE',
      'STORE',
    ])
  })
})

it('every step is one of a cask fill or of a keg fill', () => {
  const purged = { ...casks, purge: { purges: true, why: 'SET_UP' as const }, doses: { ...casks.doses, hops } }
  const all = new Set([casks, purged, kegs].flatMap(codesOf))
  expect(FILL_STEP_CODES.filter((code) => !all.has(code))).toEqual([])
})

// Common practice: a part-drawn tank keeps slight top pressure; one emptied that day and covered by its yeast may breathe.
describe('the vessel', () => {
  it.each([
    ['FERMENTER', false, 'KEEP_TOP_PRESSURE'],
    ['FERMENTER', true, 'MAY_BREATHE'],
    ['BRIGHT', false, 'KEEP_TOP_PRESSURE'],
    ['BRIGHT', true, 'KEEP_TOP_PRESSURE'],
  ] as const)('%s, emptied that day: %s, has the step %s', (kind, isEmptied, code) => {
    expect(codesOf({ ...casks, vessel: { kind, isEmptied } })).toContain(code)
  })

  it('that keeps its pressure says how much CO₂ that takes', () => {
    const keep = fillSteps(kegs).find(({ code }) => code === 'KEEP_TOP_PRESSURE')
    expect(keep?.figure?.value).toBeCloseTo((1.81325 * 600 * 44.009) / (10 * 8.314463 * 275.15), 6)
  })
})

describe('purging', () => {
  it.each([
    [{ kind: 'KEG', isDryHopped: false, isPrimed: false }, true, 'CLOSED_KEG'],
    [{ kind: 'CASK', isDryHopped: true, isPrimed: true }, true, 'HOPS_LOSE_AROMA'],
    [{ kind: 'CASK', isDryHopped: false, isPrimed: true }, false, 'YEAST_TAKES_UP_OXYGEN'],
    [{ kind: 'CASK', isDryHopped: false, isPrimed: false }, false, 'FOAM_DRIVES_AIR_OUT'],
    [{ kind: 'CASK', isDryHopped: true, isPrimed: false, setUp: false }, false, 'SET_UP'],
    [{ kind: 'CASK', isDryHopped: false, isPrimed: true, setUp: true }, true, 'SET_UP'],
  ] as const)('of %o: %s, because %s', (run, purges, why) => {
    expect(purgeChoice(run)).toEqual({ purges, why })
  })

  // Common practice: about 30 psi on the regulator; 1 psi is 6.894757 kPa (NIST SP 811).
  it('goes by 30 psi on the regulator, and carries the rating of the container where it is known', () => {
    expect(PURGE_PRESSURE.value).toBe(Number(((30 * 6.894757) / 100).toFixed(2)))
    const purge = { purges: true, why: 'SET_UP' } as const
    const paramsOf = (run: FillRunWork) =>
      fillSteps({ ...run, purge }).find(({ code }) => code.startsWith('PURGE'))?.params
    expect(paramsOf(casks)).toEqual({ why: 'SET_UP', bar: 2.07, ratingBar: 3.5 })
    expect(paramsOf(kegs)).toEqual({ why: 'SET_UP', bar: 2.07 })
  })
})
