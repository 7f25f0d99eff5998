// The fill sheet as a page: what is filled, in working order; how much of what goes into each container, and how that was reached.
import { dayWords } from '../planner/documents/index.ts'
import type { Figure } from '../sheets/figure.ts'
import type { FilledAlready, FillFigures, FillSheet, FillSheetRun } from '../sheets/fill-sheet.ts'
import { missingInWords, valueInWords, warningInWords } from '../words/figure-words.ts'
import { litres, rounded, runsInWords } from './amounts.ts'
import { cautionsInBrief } from './caution-lines.ts'
import { headLines, nextLine } from './head-lines.ts'
import type { Column, Page, Section, Table } from './page.ts'
import { reachedLines } from './reached-lines.ts'
import { dayAndMonth, shortDay } from './short-day.ts'
import { workingOrder } from './working-order.ts'

export function fillPage(sheet: FillSheet): Page {
  const { runs, filled, day } = sheet
  const sections = [...runsSections(runs), ...workingOrder(runs), ...reachedSections(runs), ...filledSections(filled)]
  return {
    title: 'Fill sheet',
    subtitle: headLines(sheet),
    sections:
      sections.length > 0 ? sections : [{ notes: [`Nothing is filled here on ${dayWords(day)}.`, nextLine(sheet)] }],
    cautions: runs.length > 0 ? cautionsInBrief(sheet.cautions) : [],
  }
}

/** What a container gets none of. */
const NOTHING = '–'

const COLUMNS = [
  { title: 'Run', isWide: true },
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
  const labels = byText(runs, labelNote)
  const gas = byText(runs, ({ figures: { co2 } }) => (co2?.value === undefined ? undefined : valueInWords(co2)))
  return [
    ...vesselNotes(runs),
    [
      ...(shives > 0 ? [`${keystones} keystones and ${shives} shives`] : []),
      ...(lost.length > 0 ? [`lost in hose and filler: ${lost.join(', ')}`] : []),
      ...(gas.length > 0 ? [`CO₂ for the volume drawn: ${gas.join(', ')}`] : []),
      ...(labels.length > 0 ? [`labels also say: ${labels.join('; ')}`] : []),
    ].join('; '),
  ].filter((line) => line !== '')
}

/** What a label says that the table does not. */
function labelNote({ label }: FillSheetRun): string | undefined {
  const lines = label.filter((line) => / % vol|^Contains: /.test(line))
  return lines.join(', ') || undefined
}

/** A line for each vessel: what becomes of what is in it, and on which fillers its runs are filled. */
function vesselNotes(runs: readonly FillSheetRun[]): string[] {
  const places = new Map<string, FillSheetRun[]>()
  for (const run of runs) places.set(placeOf(run), [...(places.get(placeOf(run)) ?? []), run])
  return [...places].map(([place, own]) => {
    const fillers = byText(runs, (run) => (own.includes(run) ? run.filler.name : undefined))
    return `${place}, on ${fillers.join(', ')}: ${own[0] ? afterwards(own[0]) : ''}`
  })
}

function placeOf({ vessel, batchCode }: FillSheetRun): string {
  return `${vessel.name}${batchCode === undefined ? '' : `, batch ${batchCode}`}`
}

function afterwards({ isEmptied, leftLitres, movesOn }: FillSheetRun): string {
  const moves = movesOn ? `, to ${movesOn.vesselName} on ${shortDay(movesOn.on)}` : ''
  return isEmptied ? 'emptied today' : `part drawn, ${litres(leftLitres)} stay${moves}`
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
  ['carbonation', 'CO₂ vol'],
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

function reachedSections(runs: readonly FillSheetRun[]): Section[] {
  const figures = runs.flatMap((run, index) =>
    NAMES.flatMap(([key, name]) => {
      const figure = run.figures[key]
      return figure?.value === undefined ? [] : [{ name, figure, run: index + 1 }]
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
