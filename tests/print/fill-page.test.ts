// The fill sheet on paper: short enough for one page, and everything on it that a hand or a check needs.
import { describe, expect, it, test } from 'vitest'
import { fillPage } from '../../src/print/fill-page.ts'
import { pageAsHtml } from '../../src/print/html.ts'
import type { Page } from '../../src/print/page.ts'
import { pageAsText } from '../../src/print/text.ts'
import { fillSheet } from '../../src/sheets/fill-sheet.ts'
import { fullFillSheet, HEAD, runOf } from './full-sheets.ts'
import { heightOf, PAPER } from './paper.ts'

const sheet = fullFillSheet()
const page = fillPage(sheet)
const stepsOf = ({ sections }: Page) => sections.flatMap(({ steps = [] }) => steps)
const notesOf = ({ sections }: Page) => sections.flatMap(({ notes = [] }) => notes)

/** Signs of sentences on a page of Letter in 11 point, seen in a browser: about 64 lines of 105 signs, those of tables and steps not counted. */
const ROOM = 3800

describe('a sheet of five runs of two batches with every figure known', () => {
  it('is short enough for one page of Letter: its sentences, and steps in two columns', () => {
    const sentences = [...notesOf(page), ...page.cautions].join(' ').length
    expect(sentences).toBeLessThan(ROOM)
    const halfLines = stepsOf(page).map((step) => Math.ceil(step.length / 48))
    expect(halfLines.reduce((sum, each) => sum + each, 0)).toBeLessThan(40)
    for (const { width, height } of Object.values(PAPER)) expect(heightOf(page, width)).toBeLessThan(height)
  })

  it('has the figures of each run in its row, as they are measured', () => {
    const [{ table } = {}] = page.sections
    const [pin] = table?.rows.filter(([name]) => name?.endsWith('pin')) ?? []
    // 22 mL of finings and 500 mL of sanitiser in a pin: common practice.
    expect(pin?.slice(1, 5)).toEqual(['14', '289.2', '500', '22'])
  })

  it('names every run in every step that is not of all of them, and a step that casks or kegs have by their kind', () => {
    const steps = stepsOf(page)
    expect(steps).toContain('Run 2: sugar as listed, dissolved and cooled, once.')
    expect(steps).toContain('Casks: drive in a new shive at once.')
    expect(steps.filter((step) => step.startsWith('Kegs: ')).length).toBeGreaterThan(3)
    expect(steps).toContain('Run the hose to the drain until the beer is clear.')
    expect(steps.filter((step) => /purge/i.test(step)).join(' ')).toContain('below the rating of 4 bar')
  })

  it('names the store in which the runs stand', () => {
    expect(stepsOf(page)).toContain('Store cold, in Cold room, until it leaves.')
  })

  it('keeps the order of the work: vented, cleaned, dosed, filled, closed, stored', () => {
    const places = ['Vent what', 'sanitise as', 'finings', 'Run the hose', 'fill gently', 'new shive', 'Store'].map(
      (words) => stepsOf(page).findIndex((step) => step.includes(words)),
    )
    expect(places).toEqual([...places].sort((a, b) => a - b))
    expect(places).not.toContain(-1)
  })

  it('says how each figure was reached: every constant, every reading, every source', () => {
    const notes = notesOf(page).join(' ')
    for (const value of ['117.347765304', '20.457405', '1.963', '0.4442', '8.314463', '0.81'])
      expect(notes.split(value).length, value).toBeGreaterThan(2)
    for (const source of ['27 CFR 25.151', 'Carroll, Slupsky & Mather 1991', 'IUPAC', 'MEBAK'])
      expect(notes).toContain(source)
    expect(notes).toContain('open tank, warmest 19 °C (runs 1–3)')
  })

  it('says what vessels are left with, once for each, and which strength is only expected', () => {
    const notes = notesOf(page)
    expect(notes.filter((note) => note.startsWith('Bright tank 1'))).toEqual([
      'Bright tank 1, batch BLO-0211, on Cask filler (run 4), Keg filler (run 5): emptied today',
    ])
    expect(notes.join(' ')).toContain('3.9 % vol, Contains: barley (runs 1–3)')
    expect(notes.join(' ')).toContain('6.2 % vol (expected)')
  })
})

describe('a run of which little is known', () => {
  const unknown = runOf(1, {
    readings: { isProven: false },
    pack: { ...runOf(1).pack, primed: true, sugar: 'SUCROSE', targetCarbonation: 1.5 },
  })
  const bare = fillPage(fillSheet({ head: HEAD, runs: [unknown], filled: [] }))

  it('has blanks and says what lacks, and has no sugar without proof of fermentation', () => {
    const text = pageAsText(bare)
    expect(text).toContain('______')
    expect(text).toMatch(/Not known: .*warmest temperature since/s)
    expect(stepsOf(bare)).toContain('Sugar: none.')
    expect(bare.cautions.join(' ')).toContain('Beer without proof that it has fermented can burst its container')
  })
})

test.each([
  ['the next day with a fill', '2027-03-05', 'Next: Friday 5 March 2027.'],
  ['that no later fill is planned', undefined, 'None is planned for a later day.'],
])('a day without fills says so, and says %s', (_what, nextDay, next) => {
  const empty = fillPage(fillSheet({ head: HEAD, runs: [], filled: [], nextDay }))
  for (const printed of [pageAsText(empty), pageAsHtml(empty)]) {
    expect(printed).toContain('Nothing is filled here on Thursday 4 March 2027.')
    expect(printed).toContain(next)
  }
  expect(empty.cautions).toEqual([])
})
