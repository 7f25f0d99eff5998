// A page as plain text for a terminal of 100 columns.
import type { Column, Page, Section, Table } from './page.ts'

/** Columns of the terminal that long lines are broken to. */
const WIDTH = 100
/** Between two columns of a table. */
const GAP = '  '

/** The page as lines of text, the last one with its line break. */
export function pageAsText({ title, subtitle, sections, cautions }: Page): string {
  const blocks = [
    [title, ...subtitle.flatMap((line) => wrapped(line))],
    ...sections.map(sectionLines),
    ...(cautions.length > 0 ? [['CAUTION', ...cautions.flatMap((each) => wrapped(each, '! '))]] : []),
  ]
  return `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`
}

function sectionLines({ heading, notes = [], table, steps = [] }: Section): string[] {
  return [
    ...(heading === undefined ? [] : [heading.toUpperCase()]),
    ...notes.flatMap((note) => wrapped(note)),
    ...(table ? tableLines(table) : []),
    ...steps.flatMap((step) => wrapped(step, '[ ] ')),
  ]
}

function tableLines({ columns, rows }: Table): string[] {
  const widths = columns.map(({ title }, at) =>
    Math.max(title.length, ...rows.map((row) => Array.from(row[at] ?? '').length)),
  )
  const line = (cells: readonly string[]) =>
    columns
      .map((column, at) => padded(cells[at] ?? '', widths[at] ?? 0, column))
      .join(GAP)
      .trimEnd()
  return [line(columns.map(({ title }) => title)), ...rows.map(line)]
}

function padded(text: string, width: number, { align }: Column): string {
  const space = ' '.repeat(Math.max(0, width - Array.from(text).length))
  return align === 'right' ? space + text : text + space
}

/** A text broken between words; its first line begins with `mark`, and the others are indented by as much. */
function wrapped(text: string, mark = ''): string[] {
  const lines: string[] = []
  let line = mark
  for (const word of text.split(' ')) {
    const isEmpty = line.trim() === mark.trim()
    if (!isEmpty && line.length + 1 + word.length > WIDTH) {
      lines.push(line)
      line = ' '.repeat(mark.length) + word
    } else line += isEmpty ? word : ` ${word}`
  }
  return [...lines, line]
}
