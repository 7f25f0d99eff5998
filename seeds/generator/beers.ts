// Beers of a generated problem: stages, losses and packs, within the ranges of common practice (a crash of about
// 48 hours; a plain pale fit to serve two to three days after its fill, a heavily hopped dark one after a week).
import type { BeerDocument, PackDocument } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import type { ProblemSpec } from './spec.ts'

interface StyleProfile {
  style: string
  fermentDays: readonly [number, number]
  restDays: readonly [number, number]
  dryHopDays: readonly [number, number]
  conditioningDays: readonly [number, number]
  settleDays: number
}

const STYLES: readonly StyleProfile[] = [
  { style: 'Pale', fermentDays: [3, 4], restDays: [1, 2], dryHopDays: [0, 2], conditioningDays: [1, 2], settleDays: 1 },
  {
    style: 'Bitter',
    fermentDays: [4, 5],
    restDays: [1, 2],
    dryHopDays: [0, 0],
    conditioningDays: [2, 2],
    settleDays: 1,
  },
  { style: 'IPA', fermentDays: [4, 6], restDays: [1, 2], dryHopDays: [2, 4], conditioningDays: [2, 4], settleDays: 1 },
  {
    style: 'Stout',
    fermentDays: [4, 6],
    restDays: [2, 3],
    dryHopDays: [0, 0],
    conditioningDays: [3, 4],
    settleDays: 1,
  },
  {
    style: 'Black IPA',
    fermentDays: [5, 6],
    restDays: [2, 3],
    dryHopDays: [3, 4],
    conditioningDays: [5, 6],
    settleDays: 1,
  },
  {
    style: 'Wheat',
    fermentDays: [3, 4],
    restDays: [1, 1],
    dryHopDays: [0, 0],
    conditioningDays: [1, 3],
    settleDays: 0,
  },
]

/** The beers of a problem, packs included; `vesselIds` is left to the sites. */
export function makeBeers(spec: ProblemSpec, random: Random): BeerDocument[] {
  return Array.from({ length: spec.beerCount }, (_, index) => makeBeer(spec, index, random.fork(`beer ${index}`)))
}

/** Hours from the end of the brew to the end of the crash. */
export function stageHours(beer: BeerDocument): number {
  return beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
}

function makeBeer(spec: ProblemSpec, index: number, random: Random): BeerDocument {
  const profile = random.pick(STYLES)
  const quick = spec.pace === 'QUICK'
  const hours = (range: readonly [number, number]) =>
    24 * (quick ? Math.ceil(random.int(...range) / 3) : random.int(...range))
  const id = `beer-${index + 1}`
  const bright = random.chance(spec.brightShare)
  return {
    id,
    style: profile.style,
    fermentHours: hours(profile.fermentDays) - random.pick([0, 0, 6, 12]),
    restHours: hours(profile.restDays),
    dryHopHours: hours(profile.dryHopDays),
    crashHours: quick ? random.pick([24, 36, 48]) : 48,
    maxTankDays: random.int(7, quick ? 10 : 21),
    brightDays: random.int(0, 2),
    maxBrightDays: random.int(6, 14),
    ...(random.chance(0.2) ? { maxOpenDays: random.int(2, 6) } : {}),
    lossFraction: random.int(2, 8) / 100,
    ...(random.chance(0.3) ? { setupWeight: random.pick([0.5, 1.5, 2]) } : {}),
    packs: makePacks(spec, id, profile, bright, random),
  }
}

function makePacks(
  spec: ProblemSpec,
  beerId: string,
  profile: StyleProfile,
  bright: boolean,
  random: Random,
): PackDocument[] {
  const conditioningDays = random.int(...profile.conditioningDays)
  const cask = (containerTypeId: string): PackDocument => ({
    id: `${beerId}-${containerTypeId}`,
    containerTypeId,
    drawFrom: 'FERMENTER',
    conditioningDays,
    settleDays: profile.settleDays,
    shelfLifeDays: random.int(28, 49),
    ...(random.chance(0.15) ? { conditionIn: 'WARM' as const } : {}),
  })
  const packs = [cask('firkin')]
  if (random.chance(0.35)) packs.push(cask('pin'))
  if (random.chance(0.2)) packs.push(cask('kilderkin'))
  if (random.chance(spec.primedShare)) {
    packs.push({
      ...cask('firkin'),
      id: `${beerId}-firkin-primed`,
      conditioningDays: conditioningDays + random.int(2, 4),
      conditionIn: 'WARM',
      primed: true,
      ...(random.chance(0.85) ? { primingWindowDays: random.int(2, 12) } : {}),
    })
  }
  if (bright || random.chance(0.5)) {
    const containerTypeId = random.pick(['keg-30', 'keg-50'])
    packs.push({
      id: `${beerId}-${containerTypeId}`,
      containerTypeId,
      drawFrom: bright ? 'BRIGHT' : 'FERMENTER',
      conditioningDays: bright ? random.int(0, 1) : conditioningDays + 2,
      settleDays: random.int(0, 1),
      shelfLifeDays: random.int(56, 90),
    })
  }
  return packs
}
