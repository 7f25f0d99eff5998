// The fill sheet as a page: what is filled, in working order; how much of what goes into each container, and how that was reached.
import { dayWords } from '../planner/documents/index.ts'
import type { Figure } from '../sheets/figure.ts'
import type { FilledAlready, FillFigures, FillSheet, FillSheetRun } from '../sheets/fill-sheet.ts'
import { missingInWords, valueInWords, warningInWords } from '../words/figure-words.ts'
import { stepAsListed } from '../words/fill-step-words.ts'
import { litres, rounded } from './amounts.ts'
import { cautionsInBrief } from './caution-lines.ts'
import { headLines } from './head-lines.ts'
import type { Column, Page, Section, Table } from './page.ts'
import { reachedLines } from './reached-lines.ts'
import { dayAndMonth, shortDay } from './short-day.ts'

export function fillPage(sheet: FillSheet): Page {
  const { runs, filled, day } = sheet
  const sections = [...runsSections(runs), ...stepSections(runs), ...reachedSections(runs), ...filledSections(filled)]
  return {
    title: 'Fill sheet',
    subtitle: headLines(sheet),
    sections: sections.length > 0 ? sections : [{ notes: [`Nothing is filled here on ${dayWords(day)}.`] }],
    cautions: runs.length > 0 ? cautionsInBrief(sheet.cautions) : [],
  }
}

/** What a container gets none of. */
const NOTHING = '–'

const COLUMNS = [
  { title: 'Run' },
  { title: 'Qty', align: 'right' },
  { title: 'Draw L', align: 'right' },
  { title: 'Sanitise mL', align: 'right' },
  { title: 'Finings mL', align: 'right' },
  { title: 'Sugar g', align: 'right' },
  { title: 'Hops g', align: 'right' },
  { title: 'CO₂ vol', align: 'right' },
  { title: 'Full kg', align: 'right' },
  { title: 'Leaves', isWhole: true },
  { title: 'Best before', isWhole: true },
  { title: 'Lot', isWhole: true },
] as const

function runsSections(runs: readonly FillSheetRun[]): Section[] {
  if (runs.length === 0) return []
  return [
    {
      notes: ['Doses are for one container.'],
      table: withoutEmpty(COLUMNS, runs.map(rowOf)),
    },
    { notes: [...notesOf(runs), ...remarksOf(runs)] },
  ]
}

/** A table without columns in which no run has anything. */
function withoutEmpty(columns: readonly Column[], rows: readonly string[][]): Table {
  const isUsed = (_: unknown, at: number) => rows.some((row) => row[at] !== NOTHING)
  return { columns: columns.filter(isUsed), rows: rows.map((row) => row.filter(isUsed)) }
}

function rowOf(run: FillSheetRun, index: number): string[] {
  const { figures, pack, quantity, fitOn, bestBefore, lotCode } = run
  const { sanitiser, finings, sugar, hops, carbonation, weight } = figures
  return [
    `${index + 1} ${pack.name}`,
    ...[
      String(quantity),
      rounded(run.litres, 1),
      numberOf(sanitiser),
      numberOf(finings),
      sugarOf(sugar),
      numberOf(hops),
    ],
    ...[numberOf(carbonation), numberOf(weight), dayAndMonth(fitOn), dayAndMonth(bestBefore), lotCode],
  ]
}

/** The number as it is measured, a blank where it is not known; its unit stands over the column. */
function numberOf(figure: Figure | undefined): string {
  return figure ? valueInWords(figure).replace(` ${figure.unit}`, '') : NOTHING
}

/** Where sugar could burst a container there is no blank to fill in. */
function sugarOf(figure: Figure | undefined): string {
  const isUnproven = figure?.warnings.some(({ code }) => code === 'FERMENTATION_NOT_PROVEN')
  return isUnproven ? 'none' : numberOf(figure)
}

/** What the vessels are left with, what is lost, what closes the casks, and what labels say beside the table. */
function notesOf(runs: readonly FillSheetRun[]): string[] {
  const lost = byText(runs, ({ lossLitres }) => (lossLitres > 0 ? litres(lossLitres) : undefined))
  const shives = runs.reduce((sum, { closures }) => sum + closures.shives, 0)
  const keystones = runs.reduce((sum, { closures }) => sum + closures.keystones, 0)
  const labels = byText(
    runs,
    ({ label }) => label.filter((line) => / % vol$|^Contains: /.test(line)).join(', ') || undefined,
  )
  const gas = byText(runs, ({ figures: { co2 } }) => (co2?.value === undefined ? undefined : valueInWords(co2)))
  return [
    ...byText(runs, vesselNote),
    [
      ...(shives > 0 ? [`${keystones} keystones and ${shives} shives`] : []),
      ...(lost.length > 0 ? [`lost in hose and filler: ${lost.join(', ')}`] : []),
      ...(gas.length > 0 ? [`CO₂ for the volume drawn: ${gas.join(', ')}`] : []),
      ...(labels.length > 0 ? [`labels also say: ${labels.join('; ')}`] : []),
    ].join('; '),
  ].filter((line) => line !== '')
}

function vesselNote({ vessel, batchCode, filler, isEmptied, leftLitres, movesOn }: FillSheetRun): string {
  const batch = batchCode === undefined ? '' : `, batch ${batchCode}`
  const moves = movesOn ? `, to ${movesOn.vesselName} on ${shortDay(movesOn.on)}` : ''
  const left = isEmptied ? 'emptied today' : `part drawn, ${litres(leftLitres)} stay${moves}`
  return `${vessel.name}${batch}, on ${filler.name}: ${left}`
}

/** Each text once, with the runs that it is of. */
function byText(runs: readonly FillSheetRun[], textOf: (run: FillSheetRun) => string | undefined): string[] {
  const numbers = new Map<string, number[]>()
  for (const [index, run] of runs.entries()) {
    const text = textOf(run)
    if (text !== undefined) numbers.set(text, [...(numbers.get(text) ?? []), index + 1])
  }
  return [...numbers].map(([text, of]) => `${text} (${runsInWords(of).toLowerCase()})`)
}

const NAMES: readonly (readonly [keyof FillFigures, string])[] = [
  ['finings', 'Finings'],
  ['sugar', 'Sugar'],
  ['hops', 'Hops'],
  ['sanitiser', 'Sanitiser'],
  ['carbonation', 'CO₂ then'],
  ['co2', 'CO₂ for the volume drawn'],
  ['weight', 'Weight'],
]

/** What is missing or wrong of the figures, each once, with the runs that it is of. */
function remarksOf(runs: readonly FillSheetRun[]): string[] {
  const remarks = runs.map(
    ({ figures }) => new Set(NAMES.flatMap(([key, name]) => remarksOfFigure(name, figures[key]))),
  )
  const all = new Set(remarks.flatMap((own) => [...own]))
  return [...all].map((text) => {
    const numbers = remarks.flatMap((own, index) => (own.has(text) ? [index + 1] : []))
    return `${runsInWords(numbers)}: ${text}`
  })
}

function remarksOfFigure(name: string, figure: Figure | undefined): string[] {
  if (!figure) return []
  const lacks = missingInWords(figure)
  return [...(lacks === '' ? [] : [`${name}: ${lacks}`]), ...figure.warnings.map(warningInWords)]
}

function runsInWords(numbers: readonly number[]): string {
  return `${numbers.length === 1 ? 'Run' : 'Runs'} ${numbers.join(', ')}`
}

/** The working order, once for all runs that are worked alike. */
function stepSections(runs: readonly FillSheetRun[]): Section[] {
  const alike = new Map<string, { numbers: number[]; steps: string[] }>()
  for (const [index, run] of runs.entries()) {
    const steps = run.steps.map(stepAsListed)
    const known = alike.get(steps.join('\n'))
    if (known) known.numbers.push(index + 1)
    else alike.set(steps.join('\n'), { numbers: [index + 1], steps })
  }
  return [...alike.values()].map(({ numbers, steps }) => ({
    heading: `Working order: ${runsInWords(numbers).toLowerCase()}`,
    steps,
    isNarrow: alike.size > 1,
  }))
}

function reachedSections(runs: readonly FillSheetRun[]): Section[] {
  const figures = runs.flatMap((run) =>
    NAMES.flatMap(([key, name]) => {
      const figure = run.figures[key]
      return figure?.value === undefined ? [] : [[name, figure] as const]
    }),
  )
  const lines = reachedLines(figures)
  return lines.length === 0 ? [] : [{ heading: 'How the figures were reached', notes: lines }]
}

function filledSections(filled: readonly FilledAlready[]): Section[] {
  if (filled.length === 0) return []
  const said = ({ packName, batchCode, quantity, lotCode, isAssumed }: FilledAlready) =>
    `${quantity} × ${packName} from ${batchCode}, lot ${lotCode}${isAssumed ? ', taken as done' : ''}`
  return [{ heading: 'Filled already', notes: filled.map(said) }]
}
