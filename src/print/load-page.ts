// The load sheet as a page: what is loaded, lot by lot, each with a letter; then one row for each drop, by these letters.
import { dayWords } from '../planner/documents/index.ts'
import type { Drop, LoadedLine, LoadedLot, LoadSheet, LoadWeight } from '../sheets/load-sheet.ts'
import { kilograms, litres } from './amounts.ts'
import { cautionsInBrief } from './caution-lines.ts'
import { headLines, nextLine } from './head-lines.ts'
import type { Page } from './page.ts'
import { dayAndMonth } from './short-day.ts'

export function loadPage(sheet: LoadSheet): Page {
  const { drops, containers, litres: all, capacityLitres, weight } = sheet
  const loaded = containers.map(({ containerName, quantity }) => `${quantity} × ${containerName}`)
  const carries = capacityLitres === undefined ? '' : ` of ${litres(capacityLitres)} that the route carries`
  const picked = pickedLots(drops.flatMap(({ lines }) => lines))
  const letters = new Map(picked.map(({ line, lot }, index) => [keyOf(line, lot), letterOf(index)]))
  return {
    title: `Load sheet: ${sheet.routeName}`,
    subtitle: headLines(sheet),
    sections:
      drops.length === 0
        ? [{ notes: [`Nothing leaves on this route on ${dayWords(sheet.day)}.`, nextLine(sheet)] }]
        : [
            {
              notes: [`${loaded.join(', ')} · ${litres(all)}${carries} · ${weightWords(weight)}`],
              table: { columns: LOTS, rows: picked.map((each) => pickRow(each, letters)) },
              inColumns: picked.length > MOST_LOTS_BELOW,
            },
            { table: { columns: DROPS, rows: drops.map((drop, index) => dropRow(drop, index, letters)) } },
          ],
    cautions: cautionsInBrief(sheet.cautions),
  }
}

/** More lots than these stand in two columns, so that they and 25 drops have room on one page. */
const MOST_LOTS_BELOW = 8

/** What is loaded is written as the drops write it: so many of a mark. */
const LOTS = [
  { title: 'Load', align: 'right' },
  { title: 'Beer and container' },
  { title: 'Lot', isWhole: true },
  { title: 'Best before', isWhole: true },
] as const

const DROPS = [
  { title: 'Drop' },
  { title: 'Gets' },
  { title: 'kg', align: 'right' },
  { title: 'Settle until', isWhole: true },
  { title: 'Serve', isWhole: true },
  { title: 'Empties there', isWhole: true },
] as const

/** All of a lot that leaves, for the loader. */
interface Picked {
  line: LoadedLine
  lot: LoadedLot
  quantity: number
}

const keyOf = ({ packId }: LoadedLine, { code }: LoadedLot) => `${packId}\n${code}`

/** By beer, container and lot. */
function pickedLots(lines: readonly LoadedLine[]): Picked[] {
  const byKey = new Map<string, Picked>()
  for (const line of lines)
    for (const lot of line.lots) {
      const known = byKey.get(keyOf(line, lot))
      byKey.set(keyOf(line, lot), { line, lot, quantity: (known?.quantity ?? 0) + lot.quantity })
    }
  const place = ({ line, lot }: Picked) => `${line.packName}\n${lot.code}`
  return [...byKey.values()].sort((a, b) => (place(a) < place(b) ? -1 : 1))
}

/** A to Z, then A1 and so on. */
function letterOf(index: number): string {
  const round = Math.floor(index / 26)
  return `${String.fromCharCode(65 + (index % 26))}${round === 0 ? '' : round}`
}

function pickRow({ line, lot, quantity }: Picked, letters: ReadonlyMap<string, string>): string[] {
  const mark = letters.get(keyOf(line, lot)) ?? ''
  return [`${quantity}\u00a0${mark}`, line.packName, lot.code, dayAndMonth(lot.bestBefore)]
}

function dropRow(drop: Drop, index: number, letters: ReadonlyMap<string, string>): string[] {
  const { account, lines, empties, weight } = drop
  const remarks = [...account.windows, ...(account.notes === undefined ? [] : [account.notes])]
  const gets = lines.flatMap((line) =>
    line.lots.map(
      (lot) => `${lot.quantity}\u00a0${letters.get(keyOf(line, lot)) ?? ''}${line.isSaid ? ' (has left)' : ''}`,
    ),
  )
  const days = (of: (line: LoadedLine) => string) => [...new Set(lines.map(of))].sort().map(dayAndMonth).join(', ')
  const back = empties.map(({ containerName, atAccount, overdue }) =>
    overdue === 0 ? `${atAccount} ${containerName}` : `${atAccount} ${containerName} (${overdue} late)`,
  )
  return [
    `${index + 1} ${[account.name, ...remarks].join('; ')}`,
    gets.join(', '),
    weight.kg === undefined ? '?' : String(Math.round(weight.kg)),
    days(({ settleUntil }) => settleUntil),
    days(({ serveOn }) => serveOn),
    back.join('; '),
  ]
}

function weightWords({ kg, missing }: LoadWeight): string {
  return kg === undefined ? `weight not known: no tare is set up for ${missing.join(', ')}` : kilograms(kg)
}
