// Sheets of a full day, with every figure known: what has to fit a page. Names are invented.

import { type FillSheet, fillSheet, type RunToFill } from '../../src/sheets/fill-sheet.ts'
import {
  type DropAccount,
  type Empties,
  type LoadedLine,
  type LoadSheet,
  loadSheet,
} from '../../src/sheets/load-sheet.ts'
import type { SheetHead } from '../../src/sheets/sheet-head.ts'
import { strengthInWords } from '../../src/sheets/strength.ts'
import { type DueWork, TODAY_KINDS, type Today, todaySheet } from '../../src/sheets/today.ts'

export const HEAD: SheetHead = {
  ...{ siteId: 's', siteName: 'Dimmerthwaite Yard', day: '2027-03-04', revision: 1207 },
  ...{ madeAt: '2027-03-04T06:00:00Z', timeZone: 'Europe/London' },
}

const FERMENTER = { id: 'v1', name: 'Fermenter 3', kind: 'FERMENTER' } as const
const BRIGHT = { id: 'v2', name: 'Bright tank 1', kind: 'BRIGHT' } as const
const READINGS = { isProven: true, gravity: 1.0102, celsius: 10, warmestCelsius: 19, gaugeBar: 0.1 }
const FIRKIN: RunToFill['container'] = {
  ...{ id: 'firkin', name: 'Firkin', kind: 'CASK', nominalLitres: 40.91481, drawLitres: 41.32, tareKg: 10.5 },
}
const PIN: RunToFill['container'] = {
  ...FIRKIN,
  id: 'pin',
  name: 'Pin',
  nominalLitres: 20.457405,
  drawLitres: 20.66,
  tareKg: 7,
}
const KEG: RunToFill['container'] = {
  ...{ id: 'keg', name: 'Keg 30 L', kind: 'KEG', nominalLitres: 30, drawLitres: 30, tareKg: 10, pressureBar: 4 },
}
const FININGS = { product: 'Isinglass', amount: 128, per: 'US_BEER_BARREL' } as const
const CASK_PACK = { finings: FININGS, leastCarbonation: 0.8, mostCarbonation: 1.3, conditionIn: 'COLD' } as const

/** A run of a part-drawn fermenter, with what `change` says otherwise. */
export function runOf(n: number, change: Partial<RunToFill> = {}): RunToFill {
  const container = change.container ?? FIRKIN
  const strength = change.strength ?? { abv: 3.9, isExpected: false }
  return {
    ...{ decisionId: `run-${n}`, batchId: 'b1', batchCode: 'FOO-0218', readings: READINGS, vessel: FERMENTER },
    filler: { id: 'f1', name: 'Cask filler' },
    beer: { id: 'beer-1', name: 'Foolscap Pale', finalGravity: 1.01, isDryHopped: false },
    pack: { id: `p${n}`, name: `Foolscap Pale ${container.name.toLowerCase()}`, primed: false, ...CASK_PACK },
    container,
    ...{ quantity: 12 + n, lossLitres: n === 1 ? 8 : 0, leftLitres: 312.5, isEmptied: false },
    movesOn: { vesselName: 'Bright tank 2', on: '2027-03-06' },
    ...{ storeName: 'Cold room', fitOn: '2027-03-06', bestBefore: '2027-04-15', lotCode: `7304FOO${n}K` },
    strength,
    label: [
      'Foolscap Pale',
      strengthInWords(strength),
      `${container.name}, 41 L`,
      'Contains: barley',
      'Best before 2027-04-15',
      'Lot',
    ],
    ...change,
  }
}

const PRIMED = { sugar: 'GLUCOSE_MONOHYDRATE', targetCarbonation: 1.5, mostCarbonation: 1.8 } as const
const OTHER = {
  ...{ batchId: 'b2', batchCode: 'BLO-0211', vessel: BRIGHT, filler: { id: 'f2', name: 'Keg filler' } },
  readings: { ...READINGS, co2Volumes: 2.2, celsius: 3, gaugeBar: 0.9 },
  beer: { id: 'beer-2', name: 'Blotter Stout', finalGravity: 1.013, isDryHopped: true },
  ...{ isEmptied: true, leftLitres: 4, movesOn: undefined, strength: { abv: 6.24, isExpected: true } },
} satisfies Partial<RunToFill>

/** The runs of a full day: casks of a fermenter, unprimed and primed, in three sizes, and what a bright vessel holds, in kegs and casks. */
const FULL_DAY: readonly RunToFill[] = [
  runOf(1),
  runOf(2, { container: PIN }),
  runOf(3, { pack: { ...runOf(3).pack, name: 'Foolscap Pale firkin, gravity', primed: true, ...PRIMED } }),
  runOf(4, {
    ...OTHER,
    container: KEG,
    pack: {
      id: 'p4',
      name: 'Blotter Stout keg 30 L',
      primed: false,
      leastCarbonation: 2,
      mostCarbonation: 2.6,
      conditionIn: 'COLD',
    },
  }),
  runOf(5, {
    ...OTHER,
    filler: { id: 'f1', name: 'Cask filler' },
    pack: {
      id: 'p5',
      name: 'Blotter Stout firkin',
      primed: false,
      hopsPerLitre: 0.5,
      mostCarbonation: 2.4,
      conditionIn: 'COLD',
    },
  }),
]

/** A fill sheet of five runs of two batches, all of whose figures are known. */
export function fullFillSheet(): FillSheet {
  return fillSheet({ head: HEAD, runs: FULL_DAY, filled: [] })
}

const PACKS = [
  'Foolscap Pale firkin',
  'Foolscap Pale pin',
  'Blotter Stout firkin',
  'Blotter Stout keg 30 L',
  'Copperplate firkin',
  'Deckle kilderkin',
]

function line(account: string, n: number, lots: number): LoadedLine {
  const pack = PACKS[n % PACKS.length] ?? ''
  const quantity = 1 + (n % 4)
  return {
    ...{
      orderLineId: `${account}/${n}`,
      accountId: account,
      orderNumber: n,
      packId: pack,
      beerName: pack,
      packName: pack,
    },
    ...{ containerTypeId: 't', containerName: pack.split(' ').at(-1) === 'L' ? 'Keg 30 L' : 'Firkin', quantity },
    lots: [{ code: `7304LOT${n % lots}K`, quantity, bestBefore: '2027-04-15' }],
    ...{ litres: quantity * 40.9, serveOn: '2027-03-06', settleUntil: '2027-03-05', isSaid: false },
  }
}

/** A route of so many drops from so many lots, most of two beers, with notes, windows and empties. */
export function fullLoadSheet(drops = 25, lots = 6): LoadSheet {
  const ids = Array.from({ length: drops }, (_, n) => `account-${n + 1}`)
  const accounts = ids.map((id, n): [string, DropAccount] => [
    id,
    {
      ...{ id, name: `The Unpicked Hem ${n + 1}`, position: n + 1, windows: n % 5 === 0 ? ['08:00–10:30'] : [] },
      notes: n % 6 === 0 ? 'Cellar drop at the side; low beam.' : undefined,
    },
  ])
  const empties = ids.map((id, n): [string, Empties[]] => [
    id,
    [{ containerTypeId: 't', containerName: 'Firkin', atAccount: 3 + (n % 4), overdue: n % 3 }],
  ])
  const container = {
    kind: 'CASK',
    nominalLitres: 40.91481,
    overfillFraction: 0.01,
    tareKg: 10.5,
    finalGravity: 1.01,
  } as const
  return loadSheet({
    ...{ head: HEAD, route: { id: 'r', name: 'Town dray', capacityLitres: 4000 } },
    lines: ids.flatMap((id, n) => (n % 3 === 0 ? [line(id, n, lots)] : [line(id, n, lots), line(id, n + 1, lots)])),
    accounts: new Map(accounts),
    empties: new Map(empties),
    containers: new Map(PACKS.map((pack) => [pack, container])),
  })
}

/** A day with three things of each kind that a brewery does. */
export function fullToday(): Today {
  const work = TODAY_KINDS.flatMap((kind) =>
    [1, 2, 3].map((n): DueWork => {
      const vessel = { vesselId: `Fermenter ${n}`, batchId: `FOO-021${n}`, beerId: 'Foolscap Pale' }
      if (kind === 'LOAD') return { kind, routeId: `Round ${n}`, quantity: 40 + n, litres: 1640 }
      if (kind === 'WASH') return { kind, containerTypeId: 'Firkin', quantity: 30 + n }
      if (kind === 'CLEAN_VESSEL') return { kind, vesselId: `Fermenter ${n}`, since: '2027-03-03', by: '2027-03-05' }
      if (kind.startsWith('FILL'))
        return { kind, ...vessel, fillerId: 'Cask filler', packId: PACKS[n], quantity: 20, litres: 812.5 }
      if (kind === 'MOVE_BEER') return { kind, ...vessel, by: '2027-03-09' }
      return { kind, ...vessel, litres: 1900 }
    }),
  )
  return todaySheet({ head: HEAD, work, toConfirm: 4 })
}
