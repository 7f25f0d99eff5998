// Cautions in words: plain sentences, the published figures in them, and local codes above all.
import { describe, expect, it } from 'vitest'
import { CAUTION_CODES, cautionsOf } from '../../src/sheets/cautions.ts'
import { fullWeight } from '../../src/sheets/weights.ts'
import { cautionInWords, cautionsInShort, LOCAL_CODES_PREVAIL } from '../../src/words/caution-words.ts'

const everything = (tareKg: number | undefined) =>
  cautionsOf({
    ...{ draws: true, cleans: true, closesCasks: true, opensReturned: true, purges: true, primes: true },
    isUnfinished: true,
    handled: [{ name: 'firkin', kind: 'CASK', weight: fullWeight({ tareKg, litres: 40.91481 }) }],
  })
const words = (code: string, tareKg?: number) => {
  const caution = everything(tareKg).find((each) => each.code === code)
  return caution ? cautionInWords(caution) : ''
}

describe('cautions in words', () => {
  it.each(CAUTION_CODES)('say %s in one or two sentences that lack nothing', (code) => {
    for (const said of [words(code, 10), words(code)]) {
      expect(said).toMatch(/^[A-Z].*\.$/)
      expect(said).not.toMatch(/undefined|NaN/)
      expect(said.split(/[.] /).length).toBeLessThanOrEqual(2)
      expect(said.length).toBeLessThan(260)
    }
  })

  it('give the exposure limits and the weight', () => {
    expect(words('CO2_IN_THE_AIR')).toContain('5,000 ppm over 8 hours and 15,000 ppm over 15 minutes')
    expect(words('LIFT_BY_TWO', 10)).toMatch(/^A full firkin weighs about 51 kg: lift it by two/)
    expect(words('LIFT_BY_TWO')).toMatch(/^The weight of a full firkin is not known/)
  })

  // HSE manual handling guidance: the law sets no weight; 25 kg is a filter, not a safe limit.
  it('never call a weight safe', () => {
    expect(words('LIFT_BY_TWO', 10)).toContain(
      'The law sets no weight: 25 kg is a filter for a closer look, and no limit that is safe.',
    )
  })

  it('end with what prevails over them', () => {
    expect(cautionsInShort(everything(10))).toMatch(new RegExp(` ${LOCAL_CODES_PREVAIL}$`))
    expect(cautionsInShort([])).toBe(LOCAL_CODES_PREVAIL)
  })
})
