// What a full container weighs, and whether one person should lift it.
import { type Figure, type FigureConstant, figureOf } from './figure.ts'

/** Water is at most 0.99997 kg/L, at 4 °C; rounded up, so that a weight is rather too high than too low. */
const WATER_DENSITY: FigureConstant = {
  name: 'density of water',
  value: 1,
  unit: 'kg/L',
  source: 'CRC Handbook: 0.99997 kg/L at 4 °C, rounded up (from memory)',
}

const USUAL_GRAVITY: FigureConstant = {
  name: 'final gravity where none is set up',
  value: 1.01,
  unit: 'specific gravity',
  source: 'common practice, from memory',
}

export interface WeighedContainer {
  /** Kilograms of the empty container. */
  tareKg?: number | undefined
  /** Litres of beer in it, what is filled on top included. */
  litres?: number | undefined
  /** Specific gravity of the beer. Absent: 1.010. */
  finalGravity?: number | undefined
}

/** Kilograms of a full container: tare + litres × density of the beer, by its final gravity. */
export function fullWeight({ tareKg, litres, finalGravity }: WeighedContainer): Figure {
  const gravity = finalGravity === undefined ? USUAL_GRAVITY.name : 'final gravity'
  const own = finalGravity === undefined ? [] : [finalGravity]
  return figureOf({
    unit: 'kg',
    formula: `tare + litres × ${gravity} × ${WATER_DENSITY.name}`,
    constants: own.length > 0 ? [WATER_DENSITY] : [USUAL_GRAVITY, WATER_DENSITY],
    inputs: [
      { name: 'tare', value: tareKg, unit: 'kg' },
      { name: 'litres', value: litres, unit: 'L' },
      ...own.map((value) => ({ name: 'final gravity', value, unit: 'specific gravity' })),
    ],
    compute: (of) => of('tare') + of('litres') * (finalGravity ?? USUAL_GRAVITY.value) * WATER_DENSITY.value,
  })
}

/**
 * Kilograms above which the caution of a lift by two is printed. The law sets no weight: below this, in good conditions, a lift
 * needs no closer look; it is a filter, and no limit that would be safe.
 */
export const LIFT_FILTER: FigureConstant = {
  name: 'filter for lifts',
  value: 25,
  unit: 'kg',
  source: 'HSE guidance on manual handling: a man, at elbow height and close to the body',
}

/** Whether a full container needs the caution of a lift by two. One whose weight is not known does. */
export function needsLiftCaution({ value }: Figure): boolean {
  return value === undefined || value > LIFT_FILTER.value
}
