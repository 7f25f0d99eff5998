// What left the brewery as a page: a table for each way in which it moved, what was assumed apart.
import { dayWords } from '../planner/documents/index.ts'
import type { NameOf } from '../sheets/name-of.ts'
import type { RemovalKind, RemovalLine, Removals } from '../sheets/removals.ts'
import { rounded } from './amounts.ts'
import { madeWords } from './head-lines.ts'
import type { Page, Section } from './page.ts'

const HEADINGS: Readonly<Record<RemovalKind, string>> = {
  DISPATCHED: 'Left for orders',
  RETURNED: 'Came back to its lot from the road',
  ISSUED: 'Left without an order: own bar, samples, breakage',
  DESTROYED: 'Emptied away',
}

const COLUMNS = [
  { title: 'Beer' },
  { title: 'Container' },
  { title: '% vol', align: 'right' },
  { title: 'Qty', align: 'right' },
  { title: 'Litres', align: 'right' },
  { title: 'US beer barrels', align: 'right' },
] as const

export function removalsPage(report: Removals, nameOf: NameOf): Page {
  const { from, to, isClosed, lines, totals } = report
  const sections = totals.map(({ kind, isAssumed, litres, barrels }): Section => {
    const own = lines.filter((line) => line.kind === kind && line.isAssumed === isAssumed)
    return {
      heading: `${HEADINGS[kind]}${isAssumed ? ' – taken as done, not confirmed' : ''}`,
      table: {
        columns: COLUMNS,
        rows: [
          ...own.map((line) => rowOf(line, nameOf)),
          ['Total', '', '', '', rounded(litres, 3), barrels.toFixed(2)],
        ],
      },
    }
  })
  return {
    title: 'Removals',
    subtitle: [
      `${from === to ? dayWords(from) : `${dayWords(from)} to ${dayWords(to)}`} · ${madeWords(report)}`,
      isClosed ? 'The period is closed: it changes no more.' : 'The period is open: later facts may change it.',
      'Barrels by 27 CFR 25.156: each container to five decimals, the sum rounded to two.',
      ...(lines.some(({ strength }) => strength?.isExpected) ? [EXPECTED_NOTE] : []),
    ],
    sections: sections.length > 0 ? sections : [{ notes: ['Nothing left and nothing came back.'] }],
    cautions: [],
  }
}

/** Marks a strength that was not said. */
const EXPECTED_MARK = '*'
const EXPECTED_NOTE = `${EXPECTED_MARK} Strength that the beer should have: none was said of its brew, or of a brew in the blend.`

function strengthOf({ strength }: RemovalLine): string {
  if (!strength) return '?'
  return `${rounded(strength.abv, 2)}${strength.isExpected ? EXPECTED_MARK : ''}`
}

function rowOf(line: RemovalLine, nameOf: NameOf): string[] {
  const { beerId, containerTypeId, quantity, litres, barrels } = line
  return [
    ...[nameOf('beer', beerId), nameOf('containerType', containerTypeId), strengthOf(line)],
    ...[String(quantity), rounded(litres, 3), barrels.toFixed(5)],
  ]
}
