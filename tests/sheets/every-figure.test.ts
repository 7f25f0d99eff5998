// What holds for every figure of the sheets: it can be reckoned from what is printed of it, and each constant has a source.
import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'
import { briefOf, formulaOf } from '../../src/print/reached-lines.ts'
import {
  dissolvedVolumes,
  equilibriumVolumes,
  expectedVolumes,
  henryConstant,
  openTankVolumes,
} from '../../src/sheets/carbonation.ts'
import type { Figure } from '../../src/sheets/figure.ts'
import { co2ForDraw, finingsDose, hopsDose, sanitiserDose } from '../../src/sheets/finings.ts'
import { primingSugar, residueVolumes, sugarVolumes } from '../../src/sheets/priming.ts'
import { fullWeight } from '../../src/sheets/weights.ts'
import { allFigures, known, reckon } from '../support/reckon.ts'

const SHEETS = resolve(import.meta.dirname, '../../src/sheets')
const litres = 40.91481
const residue = residueVolumes({ presentGravity: 1.0102, expectedFinalGravity: 1.01 })
const dissolved = dissolvedVolumes({ warmestCelsiusSinceFermented: 19, presentCelsius: 8, presentGaugeBar: 0.1 })
const sugar = primingSugar({
  ...{ isFermentationProven: true, targetVolumes: 2.2, dissolved, residue, litres, sugar: 'GLUCOSE' },
})

/** One of each function that makes a figure, by its name. */
const FIGURES: Readonly<Record<string, Figure>> = {
  co2ForDraw: co2ForDraw({ litres: 900, topGaugeBar: 0.4, celsius: 3 }),
  dissolvedVolumes: dissolved,
  equilibriumVolumes: equilibriumVolumes({ celsius: 3, gaugeBar: 0.7 }),
  expectedVolumes: expectedVolumes({
    ...{ dissolved, residue, fromSugar: sugarVolumes({ grams: sugar, kind: 'GLUCOSE', litres }) },
  }),
  finingsDose: finingsDose({ amount: 350, per: 'IMPERIAL_BARREL' }, litres),
  fullWeight: fullWeight({ tareKg: 9.8, litres }),
  henryConstant: henryConstant(7),
  hopsDose: hopsDose({ amount: 90, per: 'HECTOLITRE' }, litres),
  openTankVolumes: openTankVolumes(18),
  primingSugar: sugar,
  residueVolumes: residue,
  sanitiserDose: sanitiserDose(litres),
  sugarVolumes: sugarVolumes({ grams: sugar, kind: 'GLUCOSE', litres }),
}

it('every function of the room that makes a figure is here', () => {
  const made = readdirSync(SHEETS)
    .filter((file) => file.endsWith('.ts') && file !== 'figure.ts')
    .flatMap((file) => readFileSync(join(SHEETS, file), 'utf8').split('export function ').slice(1))
    .filter((text) => /\): Figure \{$/m.test(text.slice(0, text.indexOf('\n}\n'))))
    .map((text) => text.slice(0, text.indexOf('(')))
  expect(made.sort()).toEqual(Object.keys(FIGURES))
})

describe.each(Object.entries(FIGURES))('%s', (_, figure) => {
  it('is reckoned from its printed formula, and so are the figures that it is made of', () => {
    for (const each of allFigures(figure)) expect(reckon(each)).toBeCloseTo(known(each), 9)
  })

  it('is reckoned from what a page of paper has of it: signs for inputs, values for constants', () => {
    for (const each of allFigures(figure)) {
      const inputs = each.inputs.map((input) => ({ ...input, name: briefOf(input.name).sign }))
      expect(new Set(inputs.map(({ name }) => name)).size).toBe(inputs.length)
      expect(reckon({ ...each, formula: formulaOf(each), inputs, constants: [] })).toBeCloseTo(known(each), 9)
    }
  })

  it('prints the inputs and constants that its formula names, and no others', () => {
    for (const { formula, inputs, constants } of allFigures(figure)) {
      const names = [...inputs, ...constants].map(({ name }) => name)
      expect(names.filter((name) => !formula.includes(name))).toEqual([])
      expect(new Set(names).size).toBe(names.length)
    }
  })

  it('has a source for every constant', () => {
    for (const { source } of allFigures(figure).flatMap(({ constants }) => constants)) expect(source).toMatch(/\w{2}/)
  })
})

it('no number of a formula is a constant without a name, but for tens of units', () => {
  const numbers = Object.values(FIGURES)
    .flatMap(allFigures)
    .flatMap(({ formula, inputs, constants }) => {
      const named = [...inputs, ...constants].map(({ name }) => name).sort((a, b) => b.length - a.length)
      const bare = named.filter((name) => /\d/.test(name)).reduce((text, name) => text.replaceAll(name, ''), formula)
      return bare.match(/\d+(\.\d+)?/g) ?? []
    })
  expect([...new Set(numbers)].sort()).toEqual(['0', '10'])
})
