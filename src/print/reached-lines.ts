// How figures were reached, short enough for a page: each formula once, with the values of its constants in it; then the brewery's
// own numbers, and where the constants come from.
import type { Figure, FigureConstant, FigureInput } from '../sheets/figure.ts'
import { runsInWords } from './amounts.ts'

/** A figure of a run, as the page calls it. */
export interface NamedFigure {
  name: string
  figure: Figure
  /** The number of the run on the sheet. */
  run: number
}

/** How a page writes an input: in a formula, and before its value. Absent: by its name. */
interface Brief {
  sign: string
  name: string
}

const brief = (sign: string, name = sign): Brief => ({ sign, name })

/** Inputs by their names. Temperatures and pressures are called by their units, so that what is reckoned alike is printed once. */
const BRIEFS: Readonly<Record<string, Brief>> = {
  litres: brief('L'),
  'finings rate': brief('rate', 'finings rate'),
  'hops rate': brief('rate', 'hops rate'),
  'dissolved CO₂': brief('dissolved'),
  'CO₂ from residue': brief('residue'),
  'CO₂ from sugar': brief('from sugar'),
  sugar: brief('Sugar'),
  'left by an open tank': brief('open tank'),
  'equilibrium now': brief('now'),
  "Henry's constant": brief('H'),
  'warmest temperature since fermentation ended': brief('°C', 'open tank, warmest'),
  'present temperature': brief('°C', 'now'),
  temperature: brief('°C', 'now'),
  'gauge pressure of an open tank': brief('bar', 'open tank'),
  'present gauge pressure': brief('bar', 'now'),
  'top pressure': brief('bar', 'now'),
  'measured CO₂': brief('measured'),
  'present gravity': brief('SG'),
  'expected final gravity': brief('FG'),
  'final gravity': brief('FG'),
  'target carbonation': brief('target'),
}

/** How a page writes an input. */
export function briefOf(name: string): Brief {
  return BRIEFS[name] ?? brief(name)
}

/** Three paragraphs: formulas, numbers of the brewery, sources of the constants; none where there is no figure. */
export function reachedLines(figures: readonly NamedFigure[]): string[] {
  if (figures.length === 0) return []
  const all = figures.flatMap(withParts)
  return [formulaLine(all), numbersLine(figures, all), sourcesLine(all)].filter((line) => line !== '')
}

/** A figure, then those that it is made of. */
function withParts(named: NamedFigure): NamedFigure[] {
  const parts = named.figure.inputs.flatMap(({ name, from }) =>
    from ? withParts({ name: briefOf(name).sign, figure: from, run: named.run }) : [],
  )
  return [named, ...parts]
}

/** Those that are reckoned alike stand before one formula. */
function formulaLine(all: readonly NamedFigure[]): string {
  const names = new Map<string, Set<string>>()
  for (const { name, figure } of all) {
    const formula = formulaOf(figure)
    // A measurement stands for itself.
    if (figure.inputs.length > 0) names.set(formula, (names.get(formula) ?? new Set()).add(name))
  }
  return `${[...names].map(([formula, own]) => `${[...own].join(', ')} = ${formula}`).join('; ')}.`
}

/** The formula with the values of constants and the signs of inputs in the place of their names. */
export function formulaOf({ formula, constants, inputs }: Figure): string {
  const texts = new Map<string, string>([
    ...constants.map(({ name, value }) => [name, String(value).replace('-', '−')] as const),
    ...inputs.map(({ name }) => [name, briefOf(name).sign] as const),
  ])
  const names = [...texts.keys()].sort((a, b) => b.length - a.length).map((name) => name.replaceAll(/[()]/g, '\\$&'))
  const pattern = new RegExp(`(?<![\\p{L}\\d])(?:${names.join('|')})(?![\\p{L}\\d])`, 'gu')
  return withoutOnes(formula, constants).replaceAll(pattern, (name) => texts.get(name) ?? name)
}

/** To steps of one, or for each litre: nothing is reckoned by it. */
function isOne({ name, value }: FigureConstant): boolean {
  return value === 1 && (name === 'step' || name === 'litres of one litre')
}

function withoutOnes(formula: string, constants: readonly FigureConstant[]): string {
  const names = constants.filter(isOne).map(({ name }) => name)
  return names.reduce((text, name) => text.replaceAll(` / ${name}`, '').replaceAll(` × ${name}`, ''), formula)
}

/** The brewery's numbers, each once, with its runs where they differ. Litres stand on the label. */
function numbersLine(figures: readonly NamedFigure[], all: readonly NamedFigure[]): string {
  const runsOf = new Map<string, Map<string, Set<number>>>()
  for (const { figure, run } of all)
    for (const input of figure.inputs) {
      if (input.from || input.name === 'litres') continue
      const [name, value] = numberOf(input)
      const values = runsOf.get(name) ?? new Map<string, Set<number>>()
      runsOf.set(name, values.set(value, (values.get(value) ?? new Set()).add(run)))
    }
  const every = new Set(figures.map(({ run }) => run)).size
  return `Read and set up: ${[...runsOf]
    .map(([key, values]) => {
      const each = [...values].map(([value, runs]) =>
        values.size === 1 && (runs.size === every || every === 1)
          ? value
          : `${value} (${runsInWords([...runs]).toLowerCase()})`,
      )
      return `${key.split('\n')[0]} ${each.join(', ')}`
    })
    .join('; ')}.`
}

/** What an input is called, apart from others in other units, and its value. */
function numberOf({ name, value, unit }: FigureInput): [key: string, value: string] {
  const shown = unit === 'specific gravity' || unit === 'volumes' ? '' : unit
  return [`${briefOf(name).name}\n${unit}`, `${Number(value.toFixed(4))} ${shown}`.trim()]
}

/** Each source once, with the values that come from it. */
function sourcesLine(all: readonly NamedFigure[]): string {
  const values = new Map<string, Set<string>>()
  for (const constant of all.flatMap(({ figure }) => figure.constants).filter((each) => !isOne(each))) {
    const source = sourceOf(constant)
    values.set(source, (values.get(source) ?? new Set()).add(String(constant.value).replace('-', '−')))
  }
  if (values.size === 0) return ''
  return `Sources: ${[...values].map(([source, own]) => `${source}: ${[...own].join(', ')}`).join('; ')}.`
}

/** What a page calls the longer sources; the data have them whole. */
const SOURCES: readonly (readonly [RegExp, string])[] = [
  [/^Carroll/, 'Carroll, Slupsky & Mather 1991'],
  [/^taken as maltose/, 'maltose by molar mass'],
  [/^(sucrose|glucose monohydrate|glucose) C/, '$1 by molar mass'],
  [/^°Plato/, '°Plato by practice'],
  [/^SI\b/, 'SI'],
  [/^([\d.]+) × imperial gallon/, '$1 × imperial gallon'],
  [/^1,000 g .*IUPAC/, 'IUPAC'],
  [/^IUPAC/, 'IUPAC'],
]

function sourceOf({ source }: FigureConstant): string {
  const [pattern, words] = SOURCES.find(([each]) => each.test(source)) ?? [/[:;(].*|, .*/u, '']
  const match = pattern.exec(source)
  if (words === '') return source.replace(pattern, '').trim()
  return words.replace('$1', match?.[1] ?? '')
}
