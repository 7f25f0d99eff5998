// How much of a sheet of paper a page takes in 11 point: lines are broken by the widths of the letters, as a browser breaks them.
import type { Column, Page, Section, Table } from '../../src/print/page.ts'

/** Millimetres inside the margins of `src/print/html.ts`; the body is never wider than 196 mm. */
export const PAPER = { A4: { width: 196, height: 285 }, Letter: { width: 196, height: 267.4 } } as const

const POINT = 25.4 / 72
/** A line of 11 point at 1.07, and the padding and border of a row. */
const LINE = 11 * 1.07 * POINT
const ROW = 0.3
const GAP = 1.6

/** Widths of letters in thousandths of the size: Helvetica, which Arial and Liberation Sans share (Adobe Core 14 AFM files, from memory). */
const WIDTHS: Readonly<Record<string, number>> = {
  ...of(222, 'ijl'),
  ...of(278, ' ft.,;:/!I\u00a0·'),
  ...of(333, 'r()-'),
  ...of(500, 'ckszvxyJ'),
  ...of(584, '×+'),
  ...of(611, 'FTZ'),
  ...of(667, 'ABEKPSVXY'),
  ...of(722, 'CDHNRUw'),
  ...of(778, 'GOQ'),
  ...of(833, 'mM'),
  ...of(889, '%'),
  ...of(944, 'W'),
}

function of(width: number, letters: string): Record<string, number> {
  return Object.fromEntries(Array.from(letters, (letter) => [letter, width]))
}

/** Millimetres of a text in 11 point; a letter that is not listed counts as a figure, bold by a tenth more. */
function widthOf(text: string, isBold = false): number {
  const thousandths = Array.from(text).reduce((sum, letter) => sum + (WIDTHS[letter] ?? 556), 0)
  return (thousandths / 1000) * 11 * POINT * (isBold ? 1.1 : 1)
}

function linesOf(text: string, width: number): number {
  let lines = 1
  let used = 0
  for (const word of text.split(' ')) {
    const next = used === 0 ? widthOf(word) : used + widthOf(` ${word}`)
    if (next > width && used > 0) lines += 1
    used = next > width && used > 0 ? widthOf(word) : next
  }
  return lines
}

/** Millimetres that a page takes in a body so wide; steps in columns count as half. */
export function heightOf({ subtitle, sections, cautions }: Page, width: number): number {
  const head = subtitle.reduce((sum, line) => sum + linesOf(line, width - 60), 0) * LINE * (13 / 11) + 1
  const foot = cautions.reduce((sum, line) => sum + linesOf(`Caution ${line}`, width - 3) * LINE, 0) + 3
  return head + sections.reduce((sum, section) => sum + sectionHeight(section, width), 0) + foot
}

function sectionHeight({ heading, notes = [], table, steps = [], inColumns }: Section, width: number): number {
  const ofSteps = steps.reduce((sum, step) => sum + linesOf(step, (inColumns ? width / 2 - 2 : width) - 5), 0)
  return (
    (heading === undefined ? 0 : LINE + 1.5) +
    notes.reduce((sum, note) => sum + linesOf(note, width), 0) * LINE +
    (table ? (inColumns ? inHalves(table, width) : tableHeight(table, width)) : 0) +
    ofSteps * LINE * (inColumns ? 0.5 : 1)
  )
}

/** Two tables beside one another with 4 mm between them. */
function inHalves({ columns, rows }: Table, width: number): number {
  const half = Math.ceil(rows.length / 2)
  return Math.max(
    ...[rows.slice(0, half), rows.slice(half)].map((own) => tableHeight({ columns, rows: own }, width / 2 - 2)),
  )
}

/** The cells that may be broken share what those leave that may not, by what each would take. */
function tableHeight({ columns, rows }: Table, width: number): number {
  const isWhole = ({ align, isWhole: whole }: Column) => whole === true || align === 'right'
  const wanted = columns.map((column, at) =>
    Math.max(
      isWhole(column) ? 0 : widthOf(column.title, true),
      ...column.title.split(' ').map((word) => widthOf(word, true)),
      ...rows.map((row) => widthOf(row[at] ?? '')),
    ),
  )
  const sum = (of: (column: Column) => boolean) =>
    wanted.reduce((total, each, at) => total + (columns[at] && of(columns[at]) ? each : 0), 0)
  const left = width - sum(isWhole) - GAP * columns.length
  const share = Math.min(1, left / sum((column) => !isWhole(column)))
  const cellWidth = (at: number) => (wanted[at] ?? 0) * (columns[at] && isWhole(columns[at]) ? 1 : share)
  const heads = Math.max(...columns.map(({ title }, at) => linesOf(title, cellWidth(at) + 0.01)))
  const body = rows.map((row) => Math.max(...row.map((cell, at) => linesOf(cell, cellWidth(at) + 0.01))) * LINE + ROW)
  return heads * LINE + ROW + body.reduce((total, each) => total + each, 0)
}
