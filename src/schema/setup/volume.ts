// Volumes for display. The records keep litres; these are the exact definitions of the other units.
import { builder } from '../builder.ts'

/** Litres of each unit. Gallons are exact by definition: 4.54609 L (UK, Weights and Measures Act 1985), 231 cubic inches (US, NIST Handbook 44). */
const LITRES_OF = {
  LITRE: 1,
  HECTOLITRE: 100,
  IMPERIAL_PINT: 4.54609 / 8,
  IMPERIAL_GALLON: 4.54609,
  IMPERIAL_BARREL: 36 * 4.54609,
  US_GALLON: 3.785411784,
  US_BEER_BARREL: 31 * 3.785411784,
} as const

export type VolumeUnitName = keyof typeof LITRES_OF

export const VolumeUnit = builder.enumType('VolumeUnit', {
  description: 'A unit in which a volume can be shown.',
  values: {
    LITRE: { description: 'Litre (L).' },
    HECTOLITRE: { description: 'Hectolitre (hL), 100 L.' },
    IMPERIAL_PINT: { description: 'Imperial pint, an eighth of an imperial gallon.' },
    IMPERIAL_GALLON: { description: 'Imperial gallon, 4.54609 L.' },
    IMPERIAL_BARREL: { description: 'Imperial barrel, 36 imperial gallons.' },
    US_GALLON: { description: 'US gallon, 3.785411784 L.' },
    US_BEER_BARREL: { description: 'US beer barrel, 31 US gallons.' },
  },
})

/** A volume of litres in another unit. */
export function inUnit(litres: number, unit: VolumeUnitName): number {
  return litres / LITRES_OF[unit]
}

/** The argument that asks for a unit. */
export const unitArg = (t: { arg: PothosSchemaTypes.FieldBuilder<typeof builder.$inferSchemaTypes, object>['arg'] }) =>
  t.arg({ type: VolumeUnit, required: true, description: 'The unit to show it in.' })
