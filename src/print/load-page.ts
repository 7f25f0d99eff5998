// The load sheet as a page: one row for each line of a drop, what comes back, and what the cellar should know.
import { dayWords } from '../planner/documents/index.ts'
import type { Drop, LoadedLine, LoadSheet, LoadWeight } from '../sheets/load-sheet.ts'
import { kilograms, litres } from './amounts.ts'
import { cautionsInBrief } from './caution-lines.ts'
import { headLines } from './head-lines.ts'
import type { Page } from './page.ts'
import { dayAndMonth } from './short-day.ts'

export function loadPage(sheet: LoadSheet): Page {
  const { drops, containers, litres: all, capacityLitres, weight } = sheet
  const loaded = containers.map(({ containerName, quantity }) => `${quantity} × ${containerName}`)
  const carries = capacityLitres === undefined ? '' : ` of ${litres(capacityLitres)} that the route carries`
  return {
    title: `Load sheet: ${sheet.routeName}`,
    subtitle: headLines(sheet),
    sections:
      drops.length === 0
        ? [{ notes: [`Nothing leaves on this route on ${dayWords(sheet.day)}.`] }]
        : [
            {
              notes: [`${loaded.join(', ')} · ${litres(all)}${carries} · ${weightWords(weight)}`],
              table: { columns: COLUMNS, rows: drops.flatMap(rowsOf) },
            },
          ],
    cautions: cautionsInBrief(sheet.cautions),
  }
}

const COLUMNS = [
  { title: 'Drop' },
  { title: 'Qty', align: 'right' },
  { title: 'Beer and container' },
  { title: 'Lots' },
  { title: 'Settle until', isWhole: true },
  { title: 'Serve', isWhole: true },
  { title: 'Best before', isWhole: true },
  { title: 'kg', align: 'right' },
  { title: 'Empties' },
] as const

/** The first row of a drop names the account; a second one has its notes and windows where it has any. */
function rowsOf({ account, lines, empties, weight }: Drop, index: number): string[][] {
  const back = empties.map(({ containerName, atAccount, overdue }) => {
    const late = overdue === 0 ? '' : ` (${overdue} overdue)`
    return `${atAccount} ${containerName}${late}`
  })
  const remarks = [...account.windows, ...(account.notes === undefined ? [] : [account.notes])].join('; ')
  const names = [`${index + 1} ${account.name}`, ...(remarks === '' ? [] : [remarks])]
  const count = Math.max(lines.length, names.length)
  return Array.from({ length: count }, (_, at) => {
    const line = lines[at]
    return [
      names[at] ?? '',
      ...(line ? cellsOf(line) : ['', '', '', '', '', '']),
      at === 0 ? (weight.kg === undefined ? '?' : String(Math.round(weight.kg))) : '',
      at === 0 ? back.join(', ') : '',
    ]
  })
}

function cellsOf({ quantity, packName, lots, settleUntil, serveOn, isSaid }: LoadedLine): string[] {
  const best = lots.map(({ bestBefore }) => bestBefore).sort()[0]
  return [
    String(quantity),
    `${packName}${isSaid ? ' (has left)' : ''}`,
    lots.map((lot) => (lots.length === 1 ? lot.code : `${lot.quantity} × ${lot.code}`)).join(', '),
    dayAndMonth(settleUntil),
    dayAndMonth(serveOn),
    best === undefined ? '' : dayAndMonth(best),
  ]
}

function weightWords({ kg, missing }: LoadWeight): string {
  return kg === undefined ? `weight not known: no tare is set up for ${missing.join(', ')}` : kilograms(kg)
}
