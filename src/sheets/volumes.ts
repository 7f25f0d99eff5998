// Volumes in the units of the trade, and the barrels of a day's removals. The records keep litres.
import type { FigureConstant } from './figure.ts'

const IMPERIAL = 'imperial gallon of 4.54609 L: UK Weights and Measures Act 1985; the same in Hong Kong Cap. 68'
const US = 'US gallon of 231 cubic inches = 3.785411784 L: NIST Handbook 44, App. C'
const METRIC = 'SI'

/**
 * Litres of each unit, all exact by definition: casks are whole and half imperial gallons (statutory sizes; secondary
 * sources, arithmetic checked), a US beer barrel is 31 US gallons (27 CFR 25.151).
 */
const UNITS = {
  LITRE: { litres: 1, source: METRIC },
  HECTOLITRE: { litres: 100, source: METRIC },
  IMPERIAL_PINT: { litres: 0.56826125, source: `an eighth of an ${IMPERIAL}` },
  IMPERIAL_GALLON: { litres: 4.54609, source: IMPERIAL },
  PIN: { litres: 20.457405, source: `4.5 × ${IMPERIAL}` },
  FIRKIN: { litres: 40.91481, source: `9 × ${IMPERIAL}` },
  KILDERKIN: { litres: 81.82962, source: `18 × ${IMPERIAL}` },
  IMPERIAL_BARREL: { litres: 163.65924, source: `36 × ${IMPERIAL}` },
  HOGSHEAD: { litres: 245.48886, source: `54 × ${IMPERIAL}` },
  US_GALLON: { litres: 3.785411784, source: US },
  US_BEER_BARREL: { litres: 117.347765304, source: `27 CFR 25.151: 31 × ${US}` },
} as const satisfies Record<string, { litres: number; source: string }>

export type VolumeUnitName = keyof typeof UNITS

/** The names of all units, smallest systems first. */
export function unitNames(): VolumeUnitName[] {
  return Object.keys(UNITS).filter((name) => isUnit(name))
}

/** Litres of one unit, exactly. */
export function litresOf(unit: VolumeUnitName): number {
  return UNITS[unit].litres
}

/** A volume of litres in another unit. */
export function inUnit(litres: number, unit: VolumeUnitName): number {
  return litres / litresOf(unit)
}

/** The litres of a unit as a constant of a formula, called `litres of one <unit>`. */
export function unitConstant(unit: VolumeUnitName): FigureConstant {
  const { litres, source } = UNITS[unit]
  return { name: `litres of one ${unitWords(unit)}`, value: litres, unit: 'L', source }
}

/** A unit as a figure writes it, such as `US beer barrel`. */
export function unitWords(unit: VolumeUnitName): string {
  return unit.toLowerCase().replaceAll('_', ' ').replace('us ', 'US ')
}

/** Places after the point of a quantity in barrels, and of a day's sum: 27 CFR 25.156(c). */
const PLACES = 100_000
const PLACES_OF_SUM = 100

/** Containers of one size that were removed. */
export interface RemovedContainers {
  /** Litres of one of them. */
  litresEach: number
  /** Whole containers. */
  quantity: number
}

/** US beer barrels of containers of one size: so many of the equivalent of one, to five decimals (27 CFR 25.156). */
export function barrelsOf({ litresEach, quantity }: RemovedContainers): number {
  return (places(litresEach) * quantity) / PLACES
}

/** US beer barrels of a day's removals: the sum of quantities to five decimals, rounded to two (27 CFR 25.156(c)). */
export function barrelsOfDay(removed: readonly RemovedContainers[]): number {
  const sum = removed.reduce((total, { litresEach, quantity }) => total + places(litresEach) * quantity, 0)
  return Math.round((sum * PLACES_OF_SUM) / PLACES) / PLACES_OF_SUM
}

/** Hundred-thousandths of a US beer barrel, whole, so that sums are exact. */
function places(litres: number): number {
  return Math.round(inUnit(litres, 'US_BEER_BARREL') * PLACES)
}

function isUnit(name: string): name is VolumeUnitName {
  return name in UNITS
}
