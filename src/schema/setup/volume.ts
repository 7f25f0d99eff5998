// Volumes for display, in the units of the trade.
import type { VolumeUnitName } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'

const VALUES: Readonly<Record<VolumeUnitName, { description: string }>> = {
  LITRE: { description: 'Litre (L).' },
  HECTOLITRE: { description: 'Hectolitre (hL), 100 L.' },
  IMPERIAL_PINT: { description: 'Imperial pint, an eighth of an imperial gallon.' },
  IMPERIAL_GALLON: { description: 'Imperial gallon, 4.54609 L.' },
  PIN: { description: 'Pin, a cask of 4.5 imperial gallons.' },
  FIRKIN: { description: 'Firkin, a cask of 9 imperial gallons.' },
  KILDERKIN: { description: 'Kilderkin, a cask of 18 imperial gallons.' },
  IMPERIAL_BARREL: { description: 'Imperial barrel, 36 imperial gallons.' },
  HOGSHEAD: { description: 'Hogshead, a cask of 54 imperial gallons.' },
  US_GALLON: { description: 'US gallon, 3.785411784 L.' },
  US_BEER_BARREL: { description: 'US beer barrel, 31 US gallons.' },
}

export const VolumeUnit = builder.enumType('VolumeUnit', {
  description: 'A unit in which a volume can be shown.',
  values: VALUES,
})

/** The argument that asks for a unit. */
export const unitArg = (t: { arg: PothosSchemaTypes.FieldBuilder<typeof builder.$inferSchemaTypes, object>['arg'] }) =>
  t.arg({ type: VolumeUnit, required: true, description: 'The unit to show it in.' })
