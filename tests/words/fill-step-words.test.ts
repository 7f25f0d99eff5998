// The steps of a fill in words: short sentences, amounts or blanks, the reason of a purge.
import { describe, expect, it } from 'vitest'
import { dissolvedVolumes } from '../../src/sheets/carbonation.ts'
import type { Figure } from '../../src/sheets/figure.ts'
import { type FillRunWork, fillSteps, type PurgeReason } from '../../src/sheets/fill-steps.ts'
import { finingsDose, sanitiserDose } from '../../src/sheets/finings.ts'
import { type PrimingInput, primingSugar, residueVolumes } from '../../src/sheets/priming.ts'
import { stepInWords } from '../../src/words/fill-step-words.ts'

const known: PrimingInput = {
  ...{ isFermentationProven: true, targetVolumes: 1.5, litres: 40.91481, sugar: 'SUCROSE' },
  dissolved: dissolvedVolumes({ measuredVolumes: 1.1 }),
  residue: residueVolumes({ presentGravity: 1.01, expectedFinalGravity: 1.01 }),
}
const sugarOf = (isFermentationProven: boolean, dissolved = 1.1) =>
  primingSugar({ ...known, isFermentationProven, dissolved: dissolvedVolumes({ measuredVolumes: dissolved }) })
const casks: FillRunWork = {
  container: { name: 'firkin', kind: 'CASK', ratingBar: 3.5 },
  doses: { sanitiser: sanitiserDose(40.91481) },
  purge: { purges: true, why: 'HOPS_LOSE_AROMA' },
  vessel: { kind: 'FERMENTER', isEmptied: true },
  store: { climate: 'WARM', until: '2027-03-12' },
}
const kegs: FillRunWork = {
  ...casks,
  container: { name: '30 L keg', kind: 'KEG' },
  vessel: { kind: 'BRIGHT', isEmptied: false },
  store: { climate: 'COLD', name: 'Cold room', until: '2027-03-12' },
}
const said = (run: FillRunWork) => fillSteps(run).map((step) => stepInWords(step, (day) => `<${day}>`))
const withDose = (name: 'finings' | 'sugar' | 'hops', figure: Figure) =>
  said({ ...casks, doses: { ...casks.doses, [name]: figure } })

describe('steps in words', () => {
  it('are short sentences that lack nothing', () => {
    for (const sentence of [...said(casks), ...said(kegs)]) {
      expect(sentence).toMatch(/^[A-Z].*\.$/)
      expect(sentence).not.toMatch(/undefined|NaN|\.\.| {2}/)
      expect(sentence.length).toBeLessThan(200)
    }
  })

  it('give the amounts', () => {
    expect(said(casks)[3]).toBe('Sanitise: 1000 mL for each firkin; roll it so that every wall is wet, then drain it.')
    expect(withDose('finings', finingsDose({ amount: 128, per: 'US_BEER_BARREL' }, 40.91481))).toContain(
      'Finings: 45 mL for each firkin.',
    )
    expect(withDose('sugar', sugarOf(true))).toContain('Sugar: 62 g for each firkin, dissolved and cooled, once.')
  })

  it('leave a blank where an amount is not known, and say what lacks', () => {
    expect(withDose('finings', finingsDose(undefined, 40.91481))).toContain(
      'Finings: ______ mL for each firkin. Not known: finings rate.',
    )
  })

  it('give no amount of sugar for beer that may still ferment, nor for beer that has its CO₂ already', () => {
    const sugarIn = (figure: Figure) => withDose('sugar', figure).find((sentence) => sentence.startsWith('Sugar'))
    expect(sugarIn(sugarOf(false))).toMatch(/^Sugar: none. No sugar is printed: no two equal gravities/)
    expect(sugarIn(sugarOf(true, 1.6))).toMatch(/^Sugar: none. Give no sugar: the beer holds 1.6 volumes already/)
    // The lack of another figure leaves no blank to write sugar into, either.
    const unproven = primingSugar({
      ...{ isFermentationProven: false, dissolved: dissolvedVolumes({}), residue: residueVolumes({}) },
    })
    expect(sugarIn(unproven)).toMatch(/^Sugar: none. Not known: .* No sugar is printed/)
    expect(sugarIn(primingSugar({ ...known, targetVolumes: undefined }))).toMatch(
      /^Sugar: ______ g for each firkin, .* Not known: target carbonation\.$/,
    )
  })

  it('say why a container is purged or not, and keep the regulator below its rating', () => {
    expect(said(casks).find((sentence) => sentence.startsWith('Purge'))).toBe(
      'Purge: oxygen takes the aroma of dry hops. A few seconds of CO₂ through the open bung, hose open, regulator at 2.07 bar at most and below the rating of 3.5 bar; it is not a complete purge.',
    )
    expect(said(kegs).find((sentence) => sentence.startsWith('Purge'))).toContain(
      'below the rating that is marked on the container',
    )
    const reasons: PurgeReason[] = ['SET_UP', 'YEAST_TAKES_UP_OXYGEN', 'FOAM_DRIVES_AIR_OUT']
    for (const why of reasons)
      expect(said({ ...casks, purge: { purges: false, why } }).find((each) => each.startsWith('Do not'))).toMatch(
        /^Do not purge: [a-z].*[a-z]\.$/,
      )
  })

  it('end with where the containers stand and until when', () => {
    expect(said(casks).at(-1)).toBe('Store warm until <2027-03-12>.')
    expect(said(kegs).at(-1)).toBe('Store cold, in Cold room, until <2027-03-12>.')
  })
})
