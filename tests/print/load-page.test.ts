// The load sheet on paper: every container stands once in what is loaded and once in a drop, under the mark of its lot.
import { describe, expect, it, test } from 'vitest'
import { pageAsHtml } from '../../src/print/html.ts'
import { loadPage } from '../../src/print/load-page.ts'
import { pageAsText } from '../../src/print/text.ts'
import { type DropAccount, type LoadedLine, loadSheet } from '../../src/sheets/load-sheet.ts'
import { fullLoadSheet } from './full-sheets.ts'
import { heightOf, PAPER } from './paper.ts'

const HEAD = {
  siteId: 's',
  siteName: 'Dimmerthwaite Yard',
  day: '2027-03-04',
  revision: 7,
  madeAt: '2027-03-04T06:00:00Z',
}
const line = (account: string, pack: string, lots: [code: string, quantity: number][]): LoadedLine => ({
  ...{ orderLineId: `${account}/${pack}`, accountId: account, orderNumber: 1, packId: pack, beerName: pack },
  ...{ packName: `${pack}, firkin`, containerTypeId: 't', containerName: 'Firkin', serveOn: '2027-03-05' },
  quantity: lots.reduce((sum, [, quantity]) => sum + quantity, 0),
  lots: lots.map(([code, quantity]) => ({ code, quantity, bestBefore: '2027-04-07' })),
  ...{ litres: 0, settleUntil: '2027-03-05', isSaid: false },
})
const accounts = new Map<string, DropAccount>(
  ['hem', 'cuff'].map((id, index) => [id, { id, name: `The ${id}`, position: 2 - index, windows: [] }]),
)
const lines = [
  line('hem', 'Bitter', [
    ['L1', 3],
    ['L2', 2],
  ]),
  line('cuff', 'Bitter', [['L2', 4]]),
  line('cuff', 'Mild', [['L2', 1]]),
]
const sheet = loadSheet({
  head: { ...HEAD, timeZone: 'Europe/London' },
  route: { id: 'r', name: 'Town' },
  ...{ lines, accounts, empties: new Map(), containers: new Map() },
})

test('what is loaded is summed by lot and pack, and the drops get as much under the same marks', () => {
  const [loaded, drops] = loadPage(sheet).sections.map(({ table }) => table?.rows ?? [])
  expect(loaded).toEqual([
    ['3\u00a0A', 'Bitter, firkin', 'L1', '7 Apr'],
    ['6\u00a0B', 'Bitter, firkin', 'L2', '7 Apr'],
    ['1\u00a0C', 'Mild, firkin', 'L2', '7 Apr'],
  ])
  expect(drops?.map(([drop, gets = '']) => [drop, gets.replaceAll('\u00a0', ' ')])).toEqual([
    ['1 The cuff', '4 B, 1 C'],
    ['2 The hem', '3 A, 2 B'],
  ])
})

test('a load of containers without a tare says so, and shows no weight', () => {
  const [{ notes = [] } = {}, drops] = loadPage(sheet).sections
  expect(notes.join(' ')).toContain('no tare is set up for Firkin')
  expect(drops?.table?.rows.map((row) => row[2])).toEqual(['?', '?'])
})

test.each([
  ['and names the next day with a load', '2027-03-09', 'Next: Tuesday 9 March 2027.'],
  ['and that no later load is planned', undefined, 'None is planned for a later day.'],
])('a day on which nothing leaves is a page that says so, %s, without cautions of work', (_what, nextDay, next) => {
  const empty = loadSheet({
    head: { ...HEAD, timeZone: 'Europe/London' },
    route: { id: 'r', name: 'Town' },
    ...{ lines: [], accounts, empties: new Map(), containers: new Map(), nextDay },
  })
  const page = loadPage(empty)
  expect(page.sections).toEqual([{ notes: ['Nothing leaves on this route on Thursday 4 March 2027.', next] }])
  for (const printed of [pageAsText(page), pageAsHtml(page)]) expect(printed).toContain(next)
})

describe('a load of 25 drops', () => {
  it.each([6, 12, 24])('from %i lots takes one page of A4 and of Letter in 11 point', (lots) => {
    const page = loadPage(fullLoadSheet(25, lots))
    const [loaded, drops] = page.sections.map(({ table }) => table?.rows ?? [])
    expect([loaded?.length, drops?.length]).toEqual([lots, 25])
    for (const { width, height } of Object.values(PAPER)) expect(heightOf(page, width)).toBeLessThan(height)
  })

  it('has every lot once on paper, in two halves where they are many', () => {
    const html = pageAsHtml(loadPage(fullLoadSheet(25, 24)))
    expect(html.match(/<div class="columns"><table>/g)).toHaveLength(1)
    expect(new Set(html.match(/7304LOT\d+K/g)).size).toBe(24)
    expect(html.match(/7304LOT\d+K/g)).toHaveLength(24)
  })
})
