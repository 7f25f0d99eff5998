// Which cautions stand on a sheet, and that each is said in plain sentences with the published figures in it.
import { describe, expect, it } from 'vitest'
import { CAUTION_CODES, type CautionCode, cautionsOf, type SheetSituation } from '../../src/sheets/cautions.ts'
import { fullWeight } from '../../src/sheets/weights.ts'

const nothing: SheetSituation = {
  draws: false,
  cleans: false,
  closesCasks: false,
  opensReturned: false,
  purges: false,
  primes: false,
  isUnfinished: false,
  handled: [],
}
const codesOf = (situation: Partial<SheetSituation>) => cautionsOf({ ...nothing, ...situation }).map(({ code }) => code)
const firkin = { name: 'firkin', kind: 'CASK', weight: fullWeight({ tareKg: 10, litres: 40.91481 }) } as const
const pin = { name: 'pin', kind: 'CASK', weight: fullWeight({ tareKg: 6, litres: 20.457405 }) } as const
const keg = { name: 'keg', kind: 'KEG', weight: fullWeight({ tareKg: 4, litres: 20 }) } as const

describe('the cautions of a sheet', () => {
  it('begin with CO₂, which is in every cellar and store', () => {
    expect(codesOf({})).toEqual(['CO2_IN_THE_AIR'])
  })

  // HSE EH40 (as quoted) and OSHA: 5,000 ppm over 8 h; HSE EH40: 15,000 ppm over 15 min.
  it('give the published exposure limits with their sources', () => {
    const [co2] = cautionsOf(nothing)
    expect(co2?.constants).toMatchObject([
      { value: 5000, unit: 'ppm', source: expect.stringMatching(/EH40.*OSHA/) },
      { value: 15000, unit: 'ppm', source: expect.stringMatching(/EH40/) },
    ])
  })

  it.each<[keyof SheetSituation, CautionCode[]]>([
    ['draws', ['RELIEF_VALVES', 'VACUUM_WHEN_DRAWN_SHUT']],
    ['cleans', ['CAUSTIC_IN_CO2', 'COLD_AFTER_HOT', 'EYES_AT_CAUSTIC']],
    ['closesCasks', ['EYES_AT_SHIVES']],
    ['opensReturned', ['RETURNED_UNDER_PRESSURE']],
    ['purges', ['PURGE_OPEN_ONLY']],
    ['primes', ['OVER_PRIMED']],
    ['isUnfinished', ['UNFINISHED_BEER']],
  ])('are those of what is done, where it %s', (what, codes) => {
    expect(codesOf({ [what]: true })).toEqual(['CO2_IN_THE_AIR', ...codes])
  })

  it('are all printed where everything is done, each once, in their order', () => {
    const all = { draws: true, cleans: true, closesCasks: true, opensReturned: true, purges: true, primes: true }
    expect(codesOf({ ...all, isUnfinished: true, handled: [firkin, pin] })).toEqual(CAUTION_CODES)
  })

  it('warn of the heaviest container of those above the filter', () => {
    const lifts = (handled: SheetSituation['handled']) =>
      cautionsOf({ ...nothing, handled }).filter(({ code }) => code === 'LIFT_BY_TWO')
    expect(lifts([pin, firkin, keg])).toMatchObject([
      { params: { container: 'firkin', kg: expect.closeTo(51.32, 1), filterKg: 25 }, constants: [{ value: 25 }] },
    ])
    expect(lifts([keg])).toEqual([])
    expect(codesOf({ handled: [keg] })).toEqual(['CO2_IN_THE_AIR'])
  })

  it('warn of a container whose weight is not known, without a weight', () => {
    const unknown = { ...keg, weight: fullWeight({ litres: 20 }) }
    const lift = cautionsOf({ ...nothing, handled: [unknown] }).at(-1)
    expect(lift).toMatchObject({ code: 'LIFT_BY_TWO', params: { container: 'keg' } })
    expect(lift?.params).not.toHaveProperty('kg')
  })
})
