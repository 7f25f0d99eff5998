// The demo's nine beers and their packs. Every beer is crashed for 48 hours before it is filled; a plain pale can be
// served two days after its fill, the heavily hopped dark one after a week, settling included (common practice).
import type { BeerDocument, PackDocument } from '../../src/planner/documents/index.ts'
import type { Names } from '../../src/records/scenario.ts'
import type { ContainerTypeId } from '../containers.ts'
import { DEMO_VESSELS } from './sites.ts'

const at = (siteId: string) => DEMO_VESSELS.filter((vessel) => vessel.siteId === siteId).map((vessel) => vessel.id)

/** Unprimed, for the handpull; five weeks to best before. */
const handpull = (beerId: string, type: ContainerTypeId, conditioningDays: number): PackDocument => ({
  id: `${beerId}-${type}`,
  containerTypeId: type,
  drawFrom: 'FERMENTER',
  conditioningDays,
  settleDays: 1,
  shelfLifeDays: 35,
})

/** Primed, for gravity service: conditions warm, and needs yeast that has not stood for more than ten days. */
const gravity = (beerId: string, type: ContainerTypeId, conditioningDays: number): PackDocument => ({
  ...handpull(beerId, type, conditioningDays),
  id: `${beerId}-${type}-gravity`,
  conditionIn: 'WARM',
  primed: true,
  primingWindowDays: 10,
})

/** From the bright vessel into a keg; ten weeks to best before. */
const brightKeg = (beerId: string, type: ContainerTypeId): PackDocument => ({
  id: `${beerId}-${type}`,
  containerTypeId: type,
  drawFrom: 'BRIGHT',
  conditioningDays: 1,
  settleDays: 0,
  shelfLifeDays: 70,
})

const usual = { crashHours: 48, maxTankDays: 14, brightDays: 1, maxBrightDays: 14, lossFraction: 0.05 }

/** The beers. Days from brew to ready day: the stages in days, and one more, as a brew ends in the afternoon (T1). */
export const DEMO_BEERS: readonly BeerDocument[] = [
  {
    // 4 + 1 + 2 = 7 days: ready on the 8th. The flagship; both sites may brew it.
    id: 'foolscap',
    style: 'Pale Ale',
    fermentHours: 96,
    restHours: 24,
    dryHopHours: 0,
    ...usual,
    packs: [handpull('foolscap', 'firkin', 1), handpull('foolscap', 'pin', 1), gravity('foolscap', 'firkin', 4)],
  },
  {
    // 4 + 2 + 2 = 8 days: ready on the 9th.
    id: 'copperplate',
    style: 'Best Bitter',
    fermentHours: 96,
    restHours: 48,
    dryHopHours: 0,
    ...usual,
    vesselIds: at('mossrake'),
    packs: [handpull('copperplate', 'firkin', 2), handpull('copperplate', 'kilderkin', 2)],
  },
  {
    // 5 + 2 + 4 + 2 = 13 days: ready on the 14th; six days in the store and one in the cellar make the week.
    id: 'blotter',
    style: 'Black IPA',
    fermentHours: 120,
    restHours: 48,
    dryHopHours: 96,
    ...usual,
    lossFraction: 0.08,
    setupWeight: 1.5,
    vesselIds: at('mossrake'),
    packs: [handpull('blotter', 'firkin', 6), brightKeg('blotter', 'keg-30')],
  },
  {
    // 5 + 1 + 3 + 2 = 11 days: ready on the 12th. Casks first, then the rest through the bright vessel into kegs.
    id: 'marginalia',
    style: 'IPA',
    fermentHours: 120,
    restHours: 24,
    dryHopHours: 72,
    ...usual,
    lossFraction: 0.07,
    vesselIds: at('mossrake'),
    packs: [handpull('marginalia', 'firkin', 3), brightKeg('marginalia', 'keg-30'), brightKeg('marginalia', 'keg-50')],
  },
  {
    // 5 + 2 + 2 = 9 days: ready on the 10th, then two days bright. Kegs only.
    id: 'deckle',
    style: 'Golden Ale',
    fermentHours: 120,
    restHours: 48,
    dryHopHours: 0,
    ...usual,
    brightDays: 2,
    vesselIds: at('mossrake'),
    packs: [brightKeg('deckle', 'keg-30'), brightKeg('deckle', 'keg-50')],
  },
  {
    // 6 + 3 + 2 = 11 days: ready on the 12th. Seasonal: none stands anywhere today.
    id: 'postscript',
    style: 'Porter',
    fermentHours: 144,
    restHours: 72,
    dryHopHours: 0,
    ...usual,
    vesselIds: at('mossrake'),
    packs: [handpull('postscript', 'firkin', 4)],
  },
  {
    // 3 + 1 + 2 + 2 = 8 days: ready on the 9th.
    id: 'dog-ear',
    style: 'Pale Ale',
    fermentHours: 72,
    restHours: 24,
    dryHopHours: 48,
    ...usual,
    vesselIds: at('hithelow'),
    packs: [handpull('dog-ear', 'firkin', 1), brightKeg('dog-ear', 'keg-30')],
  },
  {
    // 4 + 1 + 2 = 7 days: ready on the 8th.
    id: 'sealing-wax',
    style: 'Mild',
    fermentHours: 96,
    restHours: 24,
    dryHopHours: 0,
    ...usual,
    maxTankDays: 26,
    vesselIds: at('hithelow'),
    packs: [handpull('sealing-wax', 'firkin', 2), handpull('sealing-wax', 'pin', 2), gravity('sealing-wax', 'pin', 4)],
  },
  {
    // 5 + 2 + 2 = 9 days: ready on the 10th. Its kegs are conditioned in the keg.
    id: 'night-post',
    style: 'Stout',
    fermentHours: 120,
    restHours: 48,
    dryHopHours: 0,
    ...usual,
    maxOpenDays: 10,
    vesselIds: at('hithelow'),
    packs: [
      handpull('night-post', 'firkin', 3),
      {
        id: 'night-post-keg-30',
        containerTypeId: 'keg-30',
        drawFrom: 'FERMENTER',
        conditioningDays: 8,
        conditionIn: 'WARM',
        settleDays: 1,
        shelfLifeDays: 63,
        primed: true,
        primingWindowDays: 14,
      },
    ],
  },
]

export const BEER_NAMES: Names = {
  foolscap: { name: 'Folded Foolscap Pale', externalRef: 'FOO' },
  copperplate: { name: 'Crooked Copperplate Bitter', externalRef: 'COP' },
  blotter: { name: 'Sodden Blotter Black IPA', externalRef: 'BLO' },
  marginalia: { name: 'Moth-Eaten Marginalia IPA', externalRef: 'MAR' },
  deckle: { name: 'Untrimmed Deckle Golden', externalRef: 'DEC' },
  postscript: { name: 'Ninth Postscript Porter', externalRef: 'PSC' },
  'dog-ear': { name: 'Counted Dog Ear Pale', externalRef: 'DOG' },
  'sealing-wax': { name: 'Spilt Sealing Wax Mild', externalRef: 'SEA' },
  'night-post': { name: 'Unsent Night Post Stout', externalRef: 'NIG' },
}

export const CONTAINER_NAMES: Names = {
  pin: { name: 'Pin', externalRef: 'PIN' },
  firkin: { name: 'Firkin', externalRef: 'FIRKIN' },
  kilderkin: { name: 'Kilderkin', externalRef: 'KILDERKIN' },
  'keg-30': { name: '30 L keg', externalRef: 'KEG30' },
  'keg-50': { name: '50 L keg', externalRef: 'KEG50' },
}

/** Such as `Folded Foolscap Pale, firkin for gravity` and `FOO-FIRKIN-GRAVITY`. */
export const PACK_NAMES: Names = Object.fromEntries(
  DEMO_BEERS.flatMap((beer) =>
    beer.packs.map((pack) => {
      const container = CONTAINER_NAMES[pack.containerTypeId]
      const isGravity = pack.id.endsWith('-gravity')
      const name = `${BEER_NAMES[beer.id]?.name}, ${container?.name.toLowerCase()}${isGravity ? ' for gravity' : ''}`
      const externalRef = `${BEER_NAMES[beer.id]?.externalRef}-${container?.externalRef}${isGravity ? '-GRAVITY' : ''}`
      return [pack.id, { name, externalRef }]
    }),
  ),
)
