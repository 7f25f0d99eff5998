// What the demo's sheets need of its set-up: gravities, strengths, finings, sugar, weights, the order of drops. The figures are
// invented and in the range of common practice; tares and ratings are rounded from memory.
import type { SheetSetup } from '../../src/records/scenario.ts'
import { REGULARS } from './accounts.ts'
import { DEMO_BEERS } from './beers.ts'

/** Original and final gravity, and the strength that is declared. */
const STRENGTHS: Readonly<Record<string, readonly [original: number, final: number, abv: number]>> = {
  foolscap: [1.038, 1.008, 3.9],
  copperplate: [1.043, 1.011, 4.2],
  blotter: [1.06, 1.013, 6.2],
  marginalia: [1.054, 1.011, 5.6],
  deckle: [1.041, 1.008, 4.3],
  postscript: [1.052, 1.014, 5],
  'dog-ear': [1.039, 1.009, 4],
  'sealing-wax': [1.034, 1.01, 3.1],
  'night-post': [1.048, 1.013, 4.6],
}

const ALLERGENS: Readonly<Record<string, string[]>> = {
  blotter: ['barley', 'wheat'],
  postscript: ['barley', 'oats'],
  'night-post': ['barley', 'oats'],
}

const CASK = { targetCarbonation: 1.1, leastCarbonation: 0.8, mostCarbonation: 1.3 }
const GRAVITY_CASK = { targetCarbonation: 1.5, leastCarbonation: 1.2, mostCarbonation: 1.8 }
const KEG = { targetCarbonation: 2.3, leastCarbonation: 2, mostCarbonation: 2.6 }
const FININGS = { finingsProduct: 'Isinglass', finingsMl: 128, finingsPer: 'US_BEER_BARREL' } as const

type PackSheet = NonNullable<SheetSetup['packs']>[string]

function packSheet(packId: string, containerTypeId: string, primed: boolean): PackSheet {
  const sugar = primed ? ({ sugar: 'GLUCOSE_MONOHYDRATE' } as const) : {}
  if (containerTypeId.startsWith('keg')) return { ...KEG, ...sugar }
  // The heavily hopped dark one gets hops in the cask too; its haze is wanted.
  if (packId === 'blotter-firkin') return { ...CASK, hopsPerLitre: 0.5 }
  return { ...(primed ? GRAVITY_CASK : CASK), ...sugar, ...FININGS }
}

const PACKS = DEMO_BEERS.flatMap(({ packs }) =>
  packs.map(({ id, containerTypeId, primed }) => [id, packSheet(id, containerTypeId, primed === true)] as const),
)

/** The town's round in the order in which the dray goes; the other rounds have no order yet. */
const TOWN = REGULARS.filter(({ account }) => account.routeIds.includes('town-dray')).map(({ account }) => account.id)

const [MON, TUE, WED, THU, FRI] = [1, 2, 3, 4, 5] as const

export const DEMO_SHEETS: SheetSetup = {
  containerTypes: {
    pin: { tareKg: 7 },
    firkin: { tareKg: 10.5 },
    kilderkin: { tareKg: 18 },
    'keg-30': { tareKg: 10, pressureBar: 4 },
    'keg-50': { tareKg: 13, pressureBar: 4 },
  },
  beers: Object.fromEntries(
    DEMO_BEERS.map(({ id }) => {
      const [originalGravity, finalGravity, abv] = STRENGTHS[id] ?? []
      return [id, { originalGravity, finalGravity, abv, allergens: ALLERGENS[id] ?? ['barley'] }]
    }),
  ),
  packs: Object.fromEntries(PACKS),
  accounts: {
    'inky-gatepost': { notes: 'Cellar drop at the side; low beam.' },
    'sundial-saucepan': { notes: 'Ring the yard bell.' },
    'copper-colander': { notes: 'Stairs: kegs by the lift.' },
  },
  windows: {
    'inky-gatepost': [{ weekdays: [MON, TUE, WED, THU, FRI], from: '07:30', to: '10:00' }],
    'tin-rhubarb': [{ weekdays: [MON, TUE, WED, THU, FRI], from: '09:00', to: '11:30' }],
  },
  drops: { 'town-dray': TOWN },
}
